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


def columns_of(pieces: list[Piece], stock: list[Stock]) -> Columns:
    problem = prepared(pieces, stock, Rules())
    budget = Budget(work=2_000, rounds=20, nodes=10)
    search = Search(problem, seed=0, budget=budget)
    search.first((0, 0))
    return Columns(problem, search, budget)


def test_a_pattern_is_added_once_and_an_empty_one_never() -> None:
    columns = columns_of(
        [Piece(name="a", width=7, height=7, count=2)],
        [Stock(name="s", width=10, height=10, price=5)],
    )
    move = (0, 0, True, 0, 0, 10, 10, 0)

    assert columns.add(0, [move])
    assert not columns.add(0, [move])
    assert not columns.add(0, [])
    assert columns.columns == [(5, {0: 1})]


def test_a_limited_stock_has_a_row_of_its_own() -> None:
    columns = columns_of(
        [Piece(name="a", width=7, height=7, count=3)],
        [
            Stock(name="s", width=10, height=10, price=5),
            Stock(name="offcut", width=8, height=8, price=0, count=1),
        ],
    )

    assert columns.add(1, [(0, 0, True, 0, 0, 8, 8, 0)])
    assert columns.columns[-1] == (0, {0: 1, 1: 1})

    columns.run(10)

    # One of three comes from the free offcut: two sheets, and prices say so.
    assert columns.best_prices is not None
    assert columns.best_prices.bound(columns.problem) == 10


def test_prices_of_counted_sheets_keep_to_small_tables() -> None:
    stock = [Stock(name="s", width=10, height=10, price=4_000)]
    columns = columns_of([Piece(name="a", width=7, height=7, count=4)], stock)

    columns.run(16_000)

    assert 2 * columns.fineness * 4_000 > 1 << 25 >= columns.fineness * 4_000
    assert columns.tables[0].table.dtype.itemsize == 4
    assert columns.best_prices is not None
    assert columns.best_prices.bound(columns.problem) == 16_000


def test_prices_never_prove_more_than_the_plan_costs() -> None:
    columns = columns_of(
        [
            Piece(name="a", width=5, height=5, count=4),
            Piece(name="b", width=3, height=9, count=3),
        ],
        [Stock(name="s", width=10, height=10, price=7)],
    )

    columns.run(100)

    assert columns.best_prices is not None
    assert columns.search.best is not None
    bound = columns.best_prices.bound(columns.problem)
    assert 0 < bound <= columns.search.best.cost
