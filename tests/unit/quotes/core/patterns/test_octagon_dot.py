"""Octagon and dot prove themselves."""

from __future__ import annotations

import pytest

from materials.core.errors import OutOfRange
from tests.pattern_proof import built, joint_share, prove


@pytest.mark.parametrize(("across", "joint"), [(200, "3"), (100, "2"), (200, "0")])
def test_faces_never_overlap_and_the_joint_is_constant(across: int, joint: str) -> None:
    prove(built("octagon_dot", joint, across=across))


def test_the_octagon_is_regular() -> None:
    outline = built("octagon_dot", across=200).items[0].outline
    following = (*outline[1:], outline[0])
    sides = [
        round(((x2 - x1) ** 2 + (y2 - y1) ** 2) ** 0.5)
        for (x1, y1), (x2, y2) in zip(outline, following, strict=True)
    ]

    assert max(sides) - min(sides) <= 1


def test_a_tile_without_its_size_is_refused() -> None:
    with pytest.raises(OutOfRange, match=r"tile\.across"):
        built("octagon_dot")


def test_joints_are_a_small_share() -> None:
    assert 0.02 < joint_share(built("octagon_dot", across=200)) < 0.05


def test_a_joint_that_swallows_the_dot_is_refused() -> None:
    with pytest.raises(OutOfRange, match="joint leaves no room"):
        built("octagon_dot", "3", across=4)
