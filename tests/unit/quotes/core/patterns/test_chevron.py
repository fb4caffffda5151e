"""Chevron proves itself with both hands."""

from __future__ import annotations

import pytest

from materials.core.errors import OutOfRange
from tests.pattern_proof import built, joint_share, prove


@pytest.mark.parametrize(
    ("length", "width", "slope"), [(400, 100, 45), (600, 90, 30), (400, 100, 52.5)]
)
def test_faces_never_overlap_and_the_joint_is_constant(
    length: int, width: int, slope: float
) -> None:
    prove(built("chevron", length=length, width=width, slope=slope))


def test_right_and_left_are_two_items_of_one_area() -> None:
    right, left = built("chevron", length=400, width=100, slope=45).items

    assert (right.name, left.name) == ("right", "left")
    assert abs(right.area - left.area) < 1


@pytest.mark.parametrize("slope", [0, 4, 81, 90, -45])
def test_a_slope_that_is_none_is_refused(slope: int) -> None:
    with pytest.raises(OutOfRange, match="slope"):
        built("chevron", length=400, width=100, slope=slope)


def test_a_face_keeps_length_times_width() -> None:
    right = built("chevron", "0", length=400, width=100, slope=30).items[0]

    assert abs(float(right.area) / (400 * 100 * 1920**2) - 1) < 1e-9
    assert joint_share(built("chevron", length=400, width=100, slope=30)) > 0
