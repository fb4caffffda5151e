"""Cut pieces in the frame of their own tile."""

from __future__ import annotations

from fractions import Fraction

import pytest

from materials.core.lengths import MM
from quotes.core.geometry import doubled_area
from quotes.core.layout.counting import count
from quotes.core.layout.records import (
    PieceClass,
    Rules,
    SetOut,
    Surface,
    box,
    rectangle,
)
from tests.pattern_proof import built


def pieces(
    surface: Surface, key: str, set_out: SetOut | None = None, **sizes: object
) -> tuple[PieceClass, ...]:
    lattice = built(key, "0", **sizes)
    return count(surface, lattice, set_out or SetOut(), Rules()).pieces


def test_alike_pieces_are_one_class() -> None:
    (strip,) = pieces(rectangle(250 * MM, 1000 * MM), "stack", length=100, width=100)

    assert strip.count == 10
    assert strip.outline == box(0, 0, 50 * MM, 100 * MM)
    assert strip.area == 5000 * MM**2


def test_left_and_right_end_of_a_tile_are_different_pieces() -> None:
    found = pieces(
        rectangle(200 * MM, 200 * MM),
        "running_bond",
        length=100,
        width=100,
        offset="1/2",
    )

    assert [piece.outline for piece in found] == [
        box(0, 0, 50 * MM, 100 * MM),
        box(50 * MM, 0, 50 * MM, 100 * MM),
    ]


def test_a_standing_tile_is_told_with_its_length_along_x() -> None:
    found = pieces(rectangle(300 * MM, 300 * MM), "herringbone", length=200, width=100)

    assert all(piece.width <= 200 * MM and piece.height <= 100 * MM for piece in found)
    assert sum(piece.area * piece.count for piece in found) < 90_000 * MM**2


def test_a_corner_leaves_an_ell_and_a_hole_inside_a_tile_keeps_its_outline() -> None:
    notched = Surface(
        outer=((0, 0), (100, 0), (100, 50), (60, 50), (60, 100), (0, 100)),
    )
    scaled = Surface(outer=tuple((x * MM, y * MM) for x, y in notched.outer))
    (ell,) = pieces(scaled, "stack", length=100, width=100)
    assert len(ell.outline) == 6
    assert ell.area == 8000 * MM**2

    pipe = rectangle(100 * MM, 100 * MM, holes=(box(40 * MM, 40 * MM, MM, MM),))
    (holed,) = pieces(pipe, "stack", length=100, width=100)
    assert holed.outline == box(0, 0, 100 * MM, 100 * MM)
    assert holed.area == 9999 * MM**2


def test_pieces_of_one_outline_keep_their_own_holes() -> None:
    # Two strips of one outline, one with a pipe through it, are not one class.
    pipe = box(40 * MM, 20 * MM, 10 * MM, 10 * MM)
    surface = rectangle(200 * MM, 50 * MM, holes=(pipe,))

    found = pieces(surface, "stack", length=100, width=100)

    assert [piece.count for piece in found] == [1, 1]
    assert [piece.area // MM**2 for piece in found] == [5000, 4900]
    assert sum(piece.area for piece in found) == surface.area


def test_a_tile_parted_by_an_obstacle_is_one_position_and_two_pieces() -> None:
    surface = rectangle(100 * MM, 100 * MM, holes=(box(40 * MM, 0, 20 * MM, 100 * MM),))
    lattice = built("stack", "0", length=100, width=100)

    tally = count(surface, lattice, SetOut(), Rules())

    assert tally.cut == (1,)
    assert [piece.width for piece in tally.pieces] == [40 * MM, 40 * MM]


@pytest.mark.parametrize(
    ("outer", "area"),
    [
        pytest.param([(10, 10), (90, 10), (90, 90), (10, 90)], 6400, id="all round"),
        pytest.param([(0, 0), (100, 0), (100, 60), (0, 60)], 6000, id="one side"),
        pytest.param([(0, 0), (100, 0), (100, 70), (0, 30)], 5000, id="askew"),
        pytest.param([(0, 0), (70, 0), (70, 60), (0, 60)], 4200, id="corner"),
        pytest.param([(20, 0), (60, 0), (60, 70), (20, 70)], 2800, id="end of a strip"),
        pytest.param([(20, 0), (60, 0), (60, 100), (20, 100)], 4000, id="strip"),
        pytest.param([(0, 0), (50, 0), (100, 100), (0, 100)], 7500, id="slanted"),
        pytest.param([(-20, 50), (200, -60), (200, 160)], 6800, id="tip beside it"),
        pytest.param([(-30, 50), (50, -30), (130, 50), (50, 130)], 9200, id="diamond"),
        pytest.param(
            [(0, 0), (100, 0), (50, 50), (100, 100), (0, 100)], 7500, id="vee"
        ),
    ],
)
def test_one_tile_cut_by_sides_in_every_way(
    outer: list[tuple[int, int]], area: int
) -> None:
    surface = Surface(outer=tuple((x * MM, y * MM) for x, y in outer))

    (piece,) = (
        piece
        for piece in pieces(surface, "stack", length=100, width=100)
        if [0, 0, 0] in piece.places.tolist()
    )

    assert piece.area == area * MM**2
    assert 2 * piece.area == doubled_area(piece.outline)


def test_a_hole_whose_corner_touches_the_edge_of_a_tile_leaves_the_rest() -> None:
    # The chain of its sides comes in and goes out at one point of the tile's edge.
    hole = ((30 * MM, 30 * MM), (80 * MM, 30 * MM), (80 * MM, 100 * MM))
    surface = rectangle(100 * MM, 200 * MM, holes=(hole,))

    (piece,) = pieces(surface, "stack", length=100, width=100)

    assert piece.area == 8250 * MM**2
    assert (piece.width, piece.height) == (100 * MM, 100 * MM)


def test_a_wall_through_a_tile_leaves_both_its_ends() -> None:
    wall = box(50 * MM, 140 * MM, 300 * MM, 20 * MM)
    surface = rectangle(400 * MM, 300 * MM, holes=(wall,))

    ends = [
        (piece.width // MM, piece.height // MM, piece.count)
        for piece in pieces(surface, "stack", length=100, width=100)
        if [0, 1, 1] in piece.places.tolist()
    ]

    assert ends == [(100, 40, 2), (100, 40, 2)]


def test_a_diagonal_cut_leaves_triangles_of_half_the_tile() -> None:
    diagonal = SetOut(angle=Fraction(45), origin=(0, 0))
    surface = rectangle(int(1000 * MM), int(1000 * MM))
    found = pieces(surface, "stack", diagonal, length=100, width=100)

    halves = [piece for piece in found if len(piece.outline) == 3]
    assert halves
    assert all(2 * piece.area <= 10_000 * MM**2 + MM for piece in halves)


def test_crumbs_below_the_tolerance_are_dropped() -> None:
    surface = Surface(outer=((0, 0), (MM, 0), (MM, MM * 4 // 5)))

    assert pieces(surface, "stack", length=300, width=300) == ()
