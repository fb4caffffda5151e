"""Basketweave proves itself, and says where a ratio widens its joints."""

from __future__ import annotations

import pytest

from materials.core.errors import OutOfRange
from tests.pattern_proof import built, joint_share, prove


@pytest.mark.parametrize(
    ("length", "width", "n"),
    [(203, 100, 2), (306, 100, 3), (200, 100, 2), (300, 100, 3), (207, 100, 2)],
)
def test_faces_never_overlap_and_no_joint_is_below_the_joint(
    length: int, width: int, n: int
) -> None:
    prove(built("basketweave", length=length, width=width, n=n))


def test_a_tile_of_exactly_two_widths_has_wider_joints_at_its_ends_and_says_so() -> (
    None
):
    lattice = built("basketweave", length=200, width=100, n=2)

    assert lattice.widest_joint == 2 * lattice.joint
    assert "ends" in lattice.note


def test_a_tile_that_leaves_its_inner_joint_needs_no_note() -> None:
    assert built("basketweave", length=203, width=100, n=2).note == ""


@pytest.mark.parametrize(("length", "n"), [(190, 2), (400, 2), (250, 3)])
def test_a_ratio_that_does_not_weave_is_refused(length: int, n: int) -> None:
    with pytest.raises(OutOfRange, match="basketweave"):
        built("basketweave", length=length, width=100, n=n)


def test_joints_take_more_where_the_ends_are_wider() -> None:
    snug = built("basketweave", length=203, width=100, n=2)
    wide = built("basketweave", length=200, width=100, n=2)

    assert joint_share(wide) > joint_share(snug)
