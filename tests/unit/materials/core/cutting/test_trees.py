"""Trees: a piece too many is left out and its cuts stay."""

from __future__ import annotations

from materials.core.cutting.problem import prepared
from materials.core.cutting.records import Piece, Rules, Stock
from materials.core.cutting.trees import without_extra


def test_a_piece_not_needed_becomes_cuts_only() -> None:
    pieces = [Piece(name="a", width=3, height=2)]
    problem = prepared(pieces, [Stock(name="s", width=7, height=5)], Rules())
    moves = ((0, 0, True, 0, 0, 7, 5, 0), (0, 0, True, 3, 0, 4, 5, 0))

    kept = without_extra(moves, [1], problem, 2)

    assert [move[0] for move in kept] == [0, -1, -1]
    assert kept[1:] == ((-1, 3, True, 3, 0, 4, 5, 2), (-1, 2, False, 3, 0, 3, 5, 2))
    assert without_extra(moves, [0], problem, 0) == ()
