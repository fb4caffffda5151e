"""Windmill proves itself."""

from __future__ import annotations

import pytest

from materials.core.errors import OutOfRange
from tests.pattern_proof import built, joint_share, prove


@pytest.mark.parametrize(("length", "width"), [(300, 100), (200, 100), (250, 93.5)])
def test_faces_never_overlap_and_the_joint_is_constant(
    length: int, width: float
) -> None:
    prove(built("windmill", length=length, width=width))


def test_the_square_is_what_four_oblongs_leave() -> None:
    square = built("windmill", length=300, width=100).items[1]

    assert square.area == (197 * 1920) ** 2


def test_a_tile_that_leaves_no_square_is_refused() -> None:
    with pytest.raises(OutOfRange, match="windmill"):
        built("windmill", length=103, width=100)


def test_joints_are_a_small_share() -> None:
    assert 0.02 < joint_share(built("windmill", length=300, width=100)) < 0.05
