"""Trees: a piece too many is left out and its cuts stay."""

from __future__ import annotations

from materials.core.cutting.problem import prepared
from materials.core.cutting.records import Piece, Rules, Stock
from materials.core.cutting.trees import cleared, emptied, without_extra

MOVES = ((0, 0, True, 0, 0, 7, 5, 0), (0, 0, True, 3, 0, 4, 5, 0))


def test_a_piece_not_needed_leaves_no_cuts_behind() -> None:
    pieces = [Piece(name="a", width=3, height=2)]
    problem = prepared(pieces, [Stock(name="s", width=7, height=5)], Rules())

    kept = without_extra(MOVES, [1], problem, 2)

    assert kept == ((0, 0, True, 0, 0, 7, 5, 2),)
    assert without_extra(MOVES, [0], problem, 0) == ()


def test_a_piece_taken_from_between_others_leaves_its_cuts() -> None:
    pieces = [Piece(name="a", width=3, height=2), Piece(name="b", width=4, height=1)]
    problem = prepared(pieces, [Stock(name="s", width=7, height=5)], Rules())
    moves = (MOVES[0], (1, 0, False, 3, 0, 4, 5, 0))

    kept = without_extra(moves, [0, 1], problem, 0)

    assert kept == ((-1, 3, True, 0, 0, 7, 5, 0), (1, 0, False, 3, 0, 4, 5, 0))


def test_a_bed_keeps_the_cuts_around_it() -> None:
    turn = (3, 2, False, False, False)

    assert emptied(MOVES[1], turn, 0) == (
        [(-1, 3, True, 3, 0, 4, 5, 0), (-1, 2, False, 3, 0, 3, 5, 0)],
        (3, 2, 3, 0, 0),
    )


def test_a_bed_has_the_dust_beside_it() -> None:
    turn = (3, 2, False, False, False)

    assert emptied(MOVES[1], turn, 1) == (
        [(-1, 2, False, 3, 0, 4, 5, 0)],
        (4, 2, 3, 0, 0),
    )


def test_a_cleared_room_gives_its_pieces_and_its_rests_back() -> None:
    order, free = [9], [(1, 5, 6, 0, 0), (1, 1, 0, 0, 1)]

    kept = cleared((4, 5, 3, 0, 0), order, list(MOVES), free)

    assert (kept, order) == ([MOVES[0]], [9, 0])
    assert free == [(1, 1, 0, 0, 1), (4, 5, 3, 0, 0)]
