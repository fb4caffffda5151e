"""Columns: prices prove what the areas do not."""

from __future__ import annotations

from materials.core.cutting.columns import Columns
from materials.core.cutting.problem import prepared
from materials.core.cutting.records import Budget, Piece, Rules, Stock
from materials.core.cutting.search import Search


def test_prices_prove_that_two_thirds_need_a_sheet_each() -> None:
    pieces = [Piece(name="a", width=7, height=7, count=4)]
    problem = prepared(pieces, [Stock(name="s", width=10, height=10, price=5)], Rules())
    budget = Budget(work=2_000, rounds=20, nodes=10)
    search = Search(problem, seed=0, budget=budget)
    search.first((0, 0))
    columns = Columns(problem, search, budget)

    columns.run(20)

    assert columns.best_prices is not None
    assert columns.best_prices.bound(problem) == 20
