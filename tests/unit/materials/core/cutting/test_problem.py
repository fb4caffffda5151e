"""Jobs made ready: alike pieces are one sort, numbers are small."""

from __future__ import annotations

from materials.core.cutting.problem import MOST_PASSES, lies_in, prepared
from materials.core.cutting.records import Piece, Rules, Stock


def test_alike_pieces_are_grouped_and_numbers_divided() -> None:
    pieces = [
        Piece(name="a", width=40, height=60, count=2),
        Piece(name="b", width=40, height=60),
    ]

    problem = prepared(pieces, [Stock(name="s", width=100, height=200)], Rules())

    assert problem.divisor == 20
    assert [sort.count for sort in problem.sorts] == [3]


def test_a_rest_too_narrow_to_snap_keeps_a_piece_out() -> None:
    pieces = [Piece(name="a", width=9, height=5)]
    stock = [Stock(name="s", width=10, height=20), Stock(name="t", width=9, height=9)]
    problem = prepared(pieces, stock, Rules(snap=2))

    assert not lies_in(problem.sorts[0].ways[0], 10, 20, problem)


def test_passes_of_the_blade_turn_a_narrow_rest_to_dust_but_not_without_end() -> None:
    pieces = [Piece(name="a", width=600, height=5)]
    stock = [Stock(name="s", width=2000, height=5)]

    one_pass = prepared(pieces, stock, Rules(kerf=2, snap=9))
    passes = prepared(pieces, stock, Rules(kerf=2, snap=9), passes=True)
    endless = prepared(pieces, stock, Rules(kerf=1, snap=500), passes=True)

    assert (one_pass.dust, passes.dust, endless.dust) == (2, 10, MOST_PASSES)
    assert prepared(pieces, stock, Rules(snap=9), passes=True).dust == 0
