"""The table agrees with the checker's own, which shares nothing with it."""

from __future__ import annotations

from random import Random

import pytest

from materials.core.cutting import knapsack
from materials.core.cutting.checked_job import AskedJob
from materials.core.cutting.checked_proof import best_pattern
from materials.core.cutting.knapsack import Knapsack, closed_sums, raster
from materials.core.cutting.problem import prepared
from materials.core.cutting.records import Piece, Rules, Stock
from tests.limited_pattern import tables


@pytest.mark.parametrize("seed", range(30))
def test_reduced_points_lose_no_value(seed: int) -> None:
    rng = Random(seed)
    sizes = {(rng.randint(2, 9), rng.randint(2, 9)) for _ in range(4)}
    pieces = [
        Piece(name=f"{at}", width=a, height=b)
        for at, (a, b) in enumerate(sorted(sizes))
    ]
    problem = prepared(pieces, [Stock(name="s", width=23, height=31)], Rules(kerf=1))
    prices = [rng.randint(1, 40) for _ in problem.sorts]
    job = {
        "kerf": 1,
        "stock": [{"name": "s", "width": 23, "height": 31}],
        "pieces": [
            {"name": piece.name, "width": piece.width, "height": piece.height}
            for piece in pieces
        ],
    }
    named = {
        name: price
        for sort, price in zip(problem.sorts, prices, strict=True)
        for name in sort.names
    }
    asked = AskedJob.read(job)
    worth = {piece.name: max(named[piece.name], 0) for piece in asked.pieces}

    assert Knapsack(problem, problem.sizes[0]).best(prices) == best_pattern(
        asked, asked.stock[0], worth
    )


@pytest.mark.parametrize("seed", range(30))
def test_every_cut_tried_in_turn_finds_no_dearer_pattern(seed: int) -> None:
    rng = Random(f"every cut {seed}")
    pieces = [
        Piece(
            name=f"{at}",
            width=rng.randint(3, 11),
            height=rng.randint(3, 11),
            turn=rng.random() < 0.5,
        )
        for at in range(4)
    ]
    sheet = Stock(name="s", width=rng.randint(11, 31), height=rng.randint(11, 31))
    problem = prepared(pieces, [sheet], Rules())
    values = [rng.randint(1, 60) for _ in problem.sorts]

    best = Knapsack(problem, problem.sizes[0]).best(values)

    assert best == tables(problem, values).inside[-1][-1]


@pytest.mark.parametrize("seed", range(20))
def test_cuts_left_out_and_larger_numbers_change_nothing(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    rng = Random(f"left out {seed}")
    pieces = [
        Piece(name=f"{at}", width=rng.randint(7, 40), height=rng.randint(7, 40))
        for at in range(5)
    ]
    sheet = [Stock(name="s", width=rng.randint(60, 90), height=rng.randint(90, 140))]
    problem = prepared(pieces, sheet, Rules())
    prices = [sort.area * rng.randint(8, 12) for sort in problem.sorts]
    plain = Knapsack(problem, problem.sizes[0])
    best = plain.best(prices)
    assert not plain.is_large
    dear = [price << 32 for price in prices]
    monkeypatch.setattr(knapsack, "MOST_PLAIN", 0)
    monkeypatch.setattr(knapsack, "MOST_AT_ONCE", 50)

    table = Knapsack(problem, problem.sizes[0])

    assert table.is_large
    assert table.best(prices) == best
    assert (table.table == plain.table).all()
    assert table.table.dtype.itemsize == 4
    assert table.best(dear) == best << 32
    assert (table.table >> 32 == plain.table).all()


def test_sums_are_closed_under_addition() -> None:
    sums = closed_sums([4, 7], 30)

    assert all(a + b in sums for a in sums for b in sums if a + b <= 30)
    assert set(raster([4, 7], 30)) <= set(sums)


@pytest.mark.parametrize("seed", range(12))
def test_cuts_across_come_out_alike_block_by_block_and_all_at_once(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    rng = Random(seed)
    pieces = [
        Piece(name=f"{at}", width=rng.randint(1, 30), height=rng.randint(1, 30))
        for at in range(9)
    ]
    stock = [Stock(name="s", width=60, height=47)]
    problem = prepared(pieces, stock, Rules(kerf=seed % 2))
    prices = [rng.randint(1, 900) for _ in problem.sorts]
    tables = []
    for calls in (0, 1 << 40):
        monkeypatch.setattr(knapsack, "ONE_CALL", calls)
        table = Knapsack(problem, problem.sizes[0])
        table.best(prices)
        tables.append(table.table.tolist())

    assert tables[0] == tables[1]
