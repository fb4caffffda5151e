"""Where a niche had better stand: exact in small cases, silent where nothing is won."""

from __future__ import annotations

from typing import Any

import pytest

from materials.core.lengths import MM
from quotes.core.joint_rules import NICHE_REACH
from quotes.core.layout.counting import count
from quotes.core.layout.records import Rules, SetOut
from quotes.core.niche_advice import Advice, niche_advice
from quotes.core.patterns import pattern_named
from quotes.core.set_out_choices import part_surface
from quotes.core.tile_counts import lattice_for
from tests.unit.quotes.core.test_through import rectangle, together


def advised(left: int, bottom: int, **more: Any) -> tuple[Advice, ...]:
    """Return the advice for a niche of 300 by 297 in a wall laid from its corner."""
    niche = {"id": "n", "kind": "niche", "left": str(left), "bottom": str(bottom),
             "width": "300", "height": "297", **more}  # fmt: skip
    found, tile = together(
        rectangle("l", "wall", 2100, 2100, openings=[niche]),
        rectangle("b", "wall", 2100, 2100),
    )
    part = found[0].parts[0].part
    assert part.tile is not None
    lattice = lattice_for(pattern_named("stack"), part.tile, {})
    tally = count(part_surface(part), lattice, SetOut(), Rules())
    return niche_advice(part, tally, tile, system="metric")


def test_a_niche_just_past_a_joint_is_moved_onto_it() -> None:
    """Tiles begin every 300 mm: a niche from 617 to 917 leaves strips of 17 and 280
    mm; 17 mm left it stands on two joints and cuts nothing."""
    (found,) = advised(617, 600)

    assert (found.right, found.up) == (-17 * MM, 0)
    assert (found.cut, found.cut_then) == (17 * MM, 297 * MM)
    assert (found.width, found.height) == (300 * MM, 297 * MM)


def test_a_niche_is_moved_up_as_well_as_aside() -> None:
    (found,) = advised(617, 1210)

    assert (found.right, found.up) == (-17 * MM, -10 * MM)


@pytest.mark.parametrize(("left", "bottom"), [(600, 600), (900, 1200)])
def test_a_niche_that_stands_on_joints_is_left_where_it_is(
    left: int, bottom: int
) -> None:
    assert advised(left, bottom) == ()


def test_no_niche_is_moved_further_than_a_stud_allows_or_through_a_wall() -> None:
    for left in range(320, 900, 20):
        for one in advised(left, 640):
            assert max(abs(one.right), abs(one.up)) <= NICHE_REACH.ticks
            assert one.cut_then - one.cut >= 5 * MM
    assert all(one.right > -10 * MM for one in advised(20, 600))


def test_a_move_after_which_nothing_is_cut_is_advised() -> None:
    """Seven by seven whole tiles, a niche of one tile's place: 17 mm left of where it
    is drawn, no tile of the wall is cut at all."""
    (found,) = advised(617, 600, height="300")

    assert found.right == -17 * MM
    assert found.cut_then == 297 * MM


def test_the_strips_named_are_those_of_the_direction_it_moves_in() -> None:
    """Above and below lie 75 mm each, as good as it gets; beside it 100 and 197 mm,
    and 140 and 157 mm after the 40 mm that it may move."""
    (found,) = advised(700, 675, height="447")

    assert (found.right, found.up) == (40 * MM, 0)
    assert (found.cut, found.cut_then) == (100 * MM, 140 * MM)
