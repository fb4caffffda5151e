"""Optima of cutting problems as others printed them."""

from __future__ import annotations

from fractions import Fraction
from itertools import product
from typing import Any

import pytest

from materials.core.cutting.blocks import Blocks
from materials.core.cutting.columns import Columns
from materials.core.cutting.knapsack import Knapsack
from materials.core.cutting.lengths import bar, length_piece
from materials.core.cutting.problem import prepared
from materials.core.cutting.records import THOROUGH, Piece, Rules, Stock
from materials.core.cutting.search import Search
from tests.cutting_replay import planned
from tests.published.source_files import load

WHITLOCK = load("cutting_christofides_whitlock")
PATTERNS = [
    *WHITLOCK["case"],
    *load("cutting_herz")["case"],
    *load("cutting_beasley")["case"],
]
SHEETS = load("cutting_berkey_wang")
BARS = [*load("cutting_paper")["case"], *load("cutting_chvatal")["case"]]
LIMITED = [*WHITLOCK["limited"], *load("cutting_beasley")["limited"]]


def rows(case: dict[str, Any]) -> list[list[int]]:
    return [[int(word) for word in row.split()] for row in case["pieces"]]


def sheet_job(case: dict[str, Any], counts: list[int]) -> dict[str, Any]:
    width, height = case["sheet"].split()
    return {
        "unit": "mm",
        "stock": [{"name": "sheet", "width": width, "height": height, "price": "1"}],
        "pieces": [
            {
                "name": f"piece {at}",
                "width": row[0],
                "height": row[1],
                "count": count,
                "turn": case["turned"] == "yes",
            }
            for at, (row, count) in enumerate(zip(rows(case), counts, strict=True))
        ],
    }


@pytest.mark.parametrize("case", PATTERNS, ids=lambda case: case["id"])
def test_the_best_pattern_is_worth_what_was_printed(case: dict[str, Any]) -> None:
    width, height = (int(word) for word in case["sheet"].split())
    turn = case["turned"] == "yes"
    pieces = [
        Piece(name=f"{at}", width=row[0], height=row[1], turn=turn)
        for at, row in enumerate(rows(case))
    ]
    values = [row[2] if len(row) > 2 else row[0] * row[1] for row in rows(case)]
    stock = [Stock(name="sheet", width=width, height=height)]
    problem = prepared(pieces, stock, Rules())
    prices = [values[int(sort.names[0])] for sort in problem.sorts]
    table = Knapsack(problem, problem.sizes[0])

    best = table.best(prices)

    moves = table.pattern(prices, 0)
    assert best == int(case["value"])
    assert sum(prices[move[0]] for move in moves if move[0] >= 0) == best


@pytest.mark.parametrize("case", SHEETS["case"], ids=lambda case: case["id"])
def test_as_few_sheets_are_used_as_was_printed(case: dict[str, Any]) -> None:
    told = planned(sheet_job(case, [1] * len(case["pieces"])), THOROUGH)

    assert told["used"] == int(case["sheets"])
    assert told["proven"]


@pytest.mark.parametrize("case", BARS, ids=lambda case: case["id"])
def test_as_few_bars_are_used_as_was_printed(case: dict[str, Any]) -> None:
    job = {
        "unit": "mm",
        "bin": "length",
        "stock": [{"name": "bar", "length": case["length"], "price": "1"}],
        "pieces": [
            {"name": f"{at}", "length": row[0], "count": row[1]}
            for at, row in enumerate(rows(case))
        ],
    }

    told = planned(job, THOROUGH)

    assert told["used"] == int(case["bars"])
    assert told["proven"]


@pytest.mark.parametrize("case", LIMITED, ids=lambda case: case["id"])
def test_the_best_pattern_of_so_many_is_worth_what_was_printed(
    case: dict[str, Any],
) -> None:
    """The most valuable set that one sheet gives, sets tried from the dearest down."""
    width, height = (int(word) for word in case["sheet"].split())
    table = [(*row, row[0] * row[1], 1) if len(row) == 2 else row for row in rows(case)]
    pieces = [
        Piece(name=f"{at}", width=w, height=h, count=n, turn=case["turned"] == "yes")
        for at, (w, h, _value, n) in enumerate(table)
    ]
    problem = prepared(pieces, [Stock(name="s", width=width, height=height)], Rules())
    blocks = Blocks(problem, problem.sizes[0], stop=lambda: False)
    blocks.left = 5_000_000
    facts = [table[int(sort.names[0])] for sort in problem.sorts]
    sets = [
        (sum(n * fact[2] for n, fact in zip(counts, facts, strict=True)), counts)
        for counts in product(*(range(sort.count + 1) for sort in problem.sorts))
    ]

    best = next(
        value
        for value, counts in sorted(sets, reverse=True)
        if blocks.fits(
            tuple(sort for sort, count in enumerate(counts) for _ in range(count))
        )
    )

    assert best == int(case["value"])


def test_the_prices_prove_as_much_as_the_printed_relaxation() -> None:
    (case,) = load("cutting_chvatal")["case"]
    pieces = [
        length_piece(f"{at}", row[0], count=row[1]) for at, row in enumerate(rows(case))
    ]
    stock = [bar("bar", int(case["length"]), price=1)]
    problem = prepared(pieces, stock, Rules())
    search = Search(problem, seed=0, budget=THOROUGH)
    search.first((0, 0))
    columns = Columns(problem, search, THOROUGH)

    columns.run(int(case["bars"]) + 1)

    prices = columns.best_prices
    assert prices is not None
    worth = sum(
        price * sort.count
        for price, sort in zip(prices.prices, problem.sorts, strict=True)
    )
    proved, printed = Fraction(worth, prices.scale), Fraction(case["relaxed"])
    assert printed - Fraction(1, 100) < proved <= printed
