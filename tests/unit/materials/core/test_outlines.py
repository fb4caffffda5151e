"""Outlines in whole ticks: areas, sides and cutting along a line, all exact."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.core import outlines
from materials.core.areas import Area
from materials.core.lengths import Length
from materials.core.outlines import (
    ABOVE,
    BELOW,
    LEFT_OF,
    RIGHT_OF,
    SIDES,
    Piece,
    cut_along,
    holds,
    hole_ring,
    outline_ring,
    rectangle,
    ring_area,
    within,
)

U_SHAPE = (
    (0, 0), (100, 0), (100, 80), (70, 80), (70, 30), (30, 30), (30, 80), (0, 80),
)  # fmt: skip


def total(pieces: tuple[Piece, ...]) -> int:
    return sum(piece.area.ticks2 for piece in pieces)


def test_a_ring_is_turned_the_way_it_is_wanted() -> None:
    square = rectangle(0, 0, 4, 4)

    assert outline_ring(tuple(reversed(square)))[0] == (0, 4)
    assert outlines.doubled_area(outline_ring(tuple(reversed(square)))) == 32
    assert outlines.doubled_area(hole_ring(square)) == -32


def test_a_slanting_side_goes_to_the_nearest_tick() -> None:
    assert outlines.side_length((0, 0), (3, 4)) == Length(5)
    assert outlines.side_length((0, 0), (1, 1)) == Length(1)
    assert outlines.side_length((0, 0), (5, 5)) == Length(7)
    assert outlines.perimeter(rectangle(0, 0, 3, 2)) == Length(10)


def test_corners_on_a_straight_line_and_spikes_are_left_out() -> None:
    ring = ((0, 0), (2, 0), (5, 0), (5, 5), (5, 9), (5, 5), (0, 5))

    assert outlines.without_straight_corners(ring) == ((0, 0), (5, 0), (5, 5), (0, 5))


def test_a_point_on_the_edge_is_held() -> None:
    assert holds(U_SHAPE, (50, 10))
    assert holds(U_SHAPE, (50, 30))
    assert not holds(U_SHAPE, (50, 40))


def test_a_level_cut_leaves_both_legs_of_a_u() -> None:
    legs = cut_along([Piece(outline=U_SHAPE)], ABOVE, 50)

    assert sorted(piece.area.ticks2 for piece in legs) == [900, 900]


def test_a_cut_through_a_hole_opens_it() -> None:
    hole = hole_ring(rectangle(40, 10, 60, 20))
    piece = Piece(outline=rectangle(0, 0, 100, 30), holes=(hole,))

    above, below = cut_along([piece], ABOVE, 15), cut_along([piece], BELOW, 15)

    assert [len(part.holes) for part in (*above, *below)] == [0, 0]
    assert total(above) == total(below) == 100 * 15 - 20 * 5


def test_a_hole_clear_of_the_cut_stays_with_its_part() -> None:
    hole = hole_ring(rectangle(40, 10, 60, 20))
    piece = Piece(outline=rectangle(0, 0, 100, 60), holes=(hole,))

    (below,) = cut_along([piece], BELOW, 40)
    (above,) = cut_along([piece], ABOVE, 40)

    assert below.holes == (hole,)
    assert above.holes == ()


def test_a_cut_that_misses_changes_nothing() -> None:
    piece = Piece(outline=U_SHAPE)

    assert cut_along([piece], BELOW, 500) == (piece,)
    assert cut_along([piece], ABOVE, 500) == ()


def test_a_cut_along_an_edge_takes_all_or_nothing() -> None:
    piece = Piece(outline=rectangle(0, 0, 10, 10))

    assert total(cut_along([piece], BELOW, 10)) == 100
    assert cut_along([piece], ABOVE, 10) == ()


def test_a_rectangle_cuts_from_four_sides() -> None:
    piece = Piece(outline=rectangle(0, 0, 100, 100))

    (inside,) = within((piece,), left=10, bottom=20, right=30, top=50)

    assert inside.area == Area(20 * 30)


coordinates = st.integers(-60, 60)


@st.composite
def simple_rings(draw: st.DrawFn) -> outlines.Ring:
    """Return a ring with one top and one foot a column: simple whatever is drawn."""
    columns = sorted(draw(st.sets(coordinates, min_size=2, max_size=7)))
    tops = [draw(st.integers(1, 60)) for _ in columns]
    feet = [draw(st.integers(-60, -1)) for _ in columns]
    lower = list(zip(columns, feet, strict=True))
    upper = list(zip(columns, tops, strict=True))
    return (*lower, *reversed(upper))


@given(simple_rings(), st.sampled_from(SIDES), coordinates)
def test_the_two_sides_of_a_cut_make_the_whole_but_for_rounding(
    ring: outlines.Ring, side: str, at: int
) -> None:
    other = {ABOVE: BELOW, BELOW: ABOVE, LEFT_OF: RIGHT_OF, RIGHT_OF: LEFT_OF}[side]
    piece = Piece(outline=outline_ring(ring))

    parts = (*cut_along([piece], side, at), *cut_along([piece], other, at))

    slack = 65 * len(ring)
    assert abs(total(parts) - ring_area(ring).ticks2) <= slack


@given(
    st.integers(1, 50), st.integers(1, 50), st.sampled_from(SIDES), st.integers(0, 50)
)
def test_an_upright_rectangle_is_cut_exactly(
    width: int, height: int, side: str, at: int
) -> None:
    (other,) = [
        opposite
        for one, opposite in (
            (ABOVE, BELOW), (BELOW, ABOVE), (LEFT_OF, RIGHT_OF), (RIGHT_OF, LEFT_OF),
        )
        if one == side
    ]  # fmt: skip
    piece = Piece(outline=rectangle(0, 0, width, height))

    parts = (*cut_along([piece], side, at), *cut_along([piece], other, at))

    assert total(parts) == width * height


@pytest.mark.parametrize("side", SIDES)
def test_nothing_cut_is_nothing(side: str) -> None:
    assert cut_along([], side, 3) == ()
