"""Hopscotch proves itself."""

from __future__ import annotations

from dataclasses import replace

import pytest

from materials.core.errors import OutOfRange
from materials.core.lengths import MM
from quotes.core.pattern import flat
from tests.pattern_proof import built, joint_share, prove


@pytest.mark.parametrize(("length", "small"), [(300, 150), (300, 97), (200, 200)])
def test_faces_never_overlap_and_the_joint_is_constant(length: int, small: int) -> None:
    prove(built("hopscotch", length=length, small=small))


def test_there_are_as_many_small_tiles_as_large() -> None:
    faces = built("hopscotch", length=300, small=150).faces

    assert [face.item for face in faces] == [0, 1]


def test_a_small_tile_larger_than_the_large_is_refused() -> None:
    with pytest.raises(OutOfRange, match=r"tile\.small"):
        built("hopscotch", length=150, small=300)


def test_joints_take_more_than_of_the_large_tile_alone() -> None:
    both = built("hopscotch", length=300, small=150)

    assert joint_share(both) > joint_share(built("stack", length=300, width=300))


def test_the_small_square_at_the_other_corner_would_overlap() -> None:
    lattice = built("hopscotch", length=300, small=150)
    step = 303 * MM
    wrong = replace(lattice, faces=(lattice.faces[0], flat(1, 0, step)))

    with pytest.raises(AssertionError):
        prove(wrong)
