"""Hexagons prove themselves."""

from __future__ import annotations

import pytest

from materials.core.errors import OutOfRange
from tests.pattern_proof import built, joint_share, prove


@pytest.mark.parametrize(("across", "joint"), [(200, "3"), (50, "2"), (200, "0")])
def test_faces_never_overlap_and_the_joint_is_constant(across: int, joint: str) -> None:
    prove(built("hexagon", joint, across=across))


def test_joints_of_200_and_3_take_nearly_three_percent() -> None:
    assert abs(joint_share(built("hexagon", across=200)) - 0.029) < 0.0005


def test_the_width_is_from_flat_to_flat() -> None:
    outline = built("hexagon", across=200).items[0].outline

    assert max(x for x, _ in outline) - min(x for x, _ in outline) == 200 * 1920


def test_a_tile_of_no_size_is_refused() -> None:
    with pytest.raises(OutOfRange, match=r"tile\.across"):
        built("hexagon", across=0)
