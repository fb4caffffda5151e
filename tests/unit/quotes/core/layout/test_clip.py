"""Cut pieces in the frame of their own tile."""

from __future__ import annotations

from fractions import Fraction

from materials.core.lengths import MM
from quotes.core.layout.clip import tidied
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


def test_a_ring_keeps_one_of_two_corners_a_tick_apart() -> None:
    triangle = [[0, 0], [9000, 0], [9000, 1], [0, 5000]]
    spiked = [[0, 0], [9000, 0], [9000, 4000], [20_000, 4000], [9000, 4001], [0, 5000]]

    assert tidied(triangle) == ((0, 0), (9000, 1), (0, 5000))
    assert tidied(spiked) == ((0, 0), (9000, 0), (9000, 4001), (0, 5000))
    assert tidied([[0, 0], [9000, 0], [5000, 1]]) == ()
