"""Optima of cutting problems as others printed them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import product
from math import prod
from typing import Any

import pytest

from materials.core.cutting.blocks import Blocks
from materials.core.cutting.columns import Columns
from materials.core.cutting.knapsack import Knapsack
from materials.core.cutting.lengths import bar, length_piece
from materials.core.cutting.problem import Problem, prepared
from materials.core.cutting.records import THOROUGH, Piece, Rules, Stock
from materials.core.cutting.search import Search
from tests.cutting_replay import planned
from tests.limited_pattern import blocks_worth, most_worth
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
MOST_SETS = 10_000
"""Sets of pieces up to which all of them are tried."""

NEAR_MISSES = 40


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


def limited(case: dict[str, Any]) -> tuple[Problem, list[int], Blocks]:
    """Return a case's problem, its values by sort and the blocks of its sheet."""
    width, height = (int(word) for word in case["sheet"].split())
    table = [(*row, row[0] * row[1], 1) if len(row) == 2 else row for row in rows(case)]
    pieces = [
        Piece(name=f"{at}", width=w, height=h, count=n, turn=case["turned"] == "yes")
        for at, (w, h, _value, n) in enumerate(table)
    ]
    problem = prepared(pieces, [Stock(name="s", width=width, height=height)], Rules())
    blocks = Blocks(problem, problem.sizes[0], stop=lambda: False)
    blocks.left = 5_000_000
    return problem, [table[int(sort.names[0])][2] for sort in problem.sorts], blocks


def worth_of(counts: Sequence[int], values: list[int]) -> int:
    return sum(n * value for n, value in zip(counts, values, strict=True))


def listed(counts: Sequence[int]) -> tuple[int, ...]:
    return tuple(sort for sort, count in enumerate(counts) for _ in range(count))


def sets_of(problem: Problem) -> Iterator[tuple[int, ...]]:
    return product(*(range(sort.count + 1) for sort in problem.sorts))


@pytest.mark.parametrize(
    "case",
    [
        case
        for case in LIMITED
        if prod(sort.count + 1 for sort in limited(case)[0].sorts) <= MOST_SETS
    ],
    ids=lambda case: case["id"],
)
def test_of_all_sets_the_dearest_that_fits_is_worth_what_was_printed(
    case: dict[str, Any],
) -> None:
    problem, values, blocks = limited(case)
    sets = [(worth_of(counts, values), counts) for counts in sets_of(problem)]

    best = next(
        worth
        for worth, counts in sorted(sets, reverse=True)
        if blocks.fits(listed(counts))
    )

    assert best == int(case["value"])


@pytest.mark.parametrize("case", LIMITED, ids=lambda case: case["id"])
def test_the_best_pattern_of_so_many_is_worth_what_was_printed(
    case: dict[str, Any],
) -> None:
    """All blocks that could be part of a better pattern, and none is one."""
    problem, values, blocks = limited(case)
    unlimited = Knapsack(problem, problem.sizes[0]).best(values)

    best, counts = most_worth(problem, values, hope=unlimited)

    assert best == int(case["value"]) <= unlimited
    assert worth_of(counts, values) == best
    assert blocks.fits(listed(counts))
    assert not any(
        worth_of(more, values) > best
        for _wide, _high, more in blocks_worth(problem, values, best + 1)
    )


@pytest.mark.parametrize(
    "case",
    # Where pieces may be turned, cgcut1 gives them all: nothing is worth more.
    [case for case in LIMITED if case["turned"] == "no"],
    ids=lambda case: case["id"],
)
def test_no_set_of_few_pieces_worth_more_than_what_was_printed_fits(
    case: dict[str, Any],
) -> None:
    problem, values, blocks = limited(case)
    areas = [sort.area for sort in problem.sorts]
    dearer = sorted(
        (sum(counts), worth_of(counts, values), counts)
        for counts in sets_of(problem)
        if worth_of(counts, values) > int(case["value"])
        and worth_of(counts, areas) <= problem.sizes[0].area
    )[:NEAR_MISSES]

    assert len(dearer) == NEAR_MISSES
    assert not any(blocks.fits(listed(one[2])) for one in dearer)


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
