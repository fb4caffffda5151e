"""Herringbone proves itself, single and double, at any ratio."""

from __future__ import annotations

import pytest

from materials.core.errors import OutOfRange
from tests.pattern_proof import built, joint_share, prove


@pytest.mark.parametrize(
    ("length", "width", "n"),
    [(300, 150, 1), (400, 93, 1), (600, 150, 1), (400, 93, 2), (300, 70, 3)],
)
def test_faces_never_overlap_and_the_joint_is_constant(
    length: int, width: int, n: int
) -> None:
    prove(built("herringbone", length=length, width=width, n=n))


def test_joints_of_400_by_93_and_3_take_nearly_four_percent() -> None:
    assert abs(joint_share(built("herringbone", length=400, width=93)) - 0.038) < 0.0005


@pytest.mark.parametrize("n", [0, 9, "1/2"])
def test_a_bundle_that_is_no_small_whole_number_is_refused(n: object) -> None:
    with pytest.raises(OutOfRange, match=r"pattern\.n"):
        built("herringbone", length=300, width=100, n=n)


def test_a_tile_shorter_than_its_bundle_is_refused() -> None:
    with pytest.raises(OutOfRange, match="herringbone of 2"):
        built("herringbone", length=150, width=100, n=2)
