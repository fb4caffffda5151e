"""Search: the first plan holds every piece once."""

from __future__ import annotations

from materials.core.cutting.problem import prepared
from materials.core.cutting.records import Budget, Piece, Rules, Stock
from materials.core.cutting.search import Search


def test_every_piece_is_placed_once_and_the_cost_is_that_of_its_sheets() -> None:
    pieces = [Piece(name=f"{n}", width=n + 2, height=5, count=3) for n in range(4)]
    problem = prepared(pieces, [Stock(name="s", width=9, height=9, price=4)], Rules())
    search = Search(problem, seed=0, budget=Budget(work=5_000))

    search.first((0, 0))

    best = search.best
    assert best is not None
    assert sum(len(moves) for moves in best.moves) == 12
    assert best.cost == 4 * len(best.sizes)
