"""Lengths: the same as sheets in one direction."""

from __future__ import annotations

from itertools import product
from random import Random

import highspy
import pytest

from materials.core.cutting.lengths import bar, length_piece, plan_lengths
from materials.core.cutting.records import Rules
from tests.cases import CASES, SEED
from tests.cutting_replay import DEEP


def test_three_battens_are_cut_from_two_bars_with_a_kerf() -> None:
    pieces = [length_piece("a", 50, count=2), length_piece("b", 30, count=2)]

    plan = plan_lengths(pieces, [bar("bar", 100, price=5)], Rules(kerf=1))

    assert (plan.used, plan.cost, plan.proven) == (2, 10, True)


def by_patterns(
    lengths: list[int], counts: list[int], bars: list[tuple[int, int]], kerf: int
) -> int:
    """Return the least cost by a model of its own: every pattern of every bar.

    Gilmore and Gomory's model with all patterns written out and given to the
    whole-number solver; complete for bars without limit.
    """
    patterns = [
        (price, chosen)
        for length, price in bars
        for chosen in product(*(range(count + 1) for count in counts))
        if any(chosen)
        and sum(n * (one + kerf) for n, one in zip(chosen, lengths, strict=True))
        <= length + kerf
    ]
    solver = highspy.Highs()
    solver.setOptionValue("output_flag", False)
    solver.setOptionValue("mip_rel_gap", 0.0)
    for count in counts:
        solver.addRow(float(count), solver.inf, 0, [], [])
    for at, (price, chosen) in enumerate(patterns):
        found = [(row, float(n)) for row, n in enumerate(chosen) if n]
        solver.addCol(
            float(price),
            0.0,
            solver.inf,
            len(found),
            *map(list, zip(*found, strict=True)),
        )
        solver.changeColIntegrality(at, highspy.HighsVarType.kInteger)
    solver.run()
    taken = [round(one) for one in solver.getSolution().col_value]
    for row, count in enumerate(counts):
        made = sum(
            n * chosen[row] for n, (_, chosen) in zip(taken, patterns, strict=True)
        )
        assert made >= count
    return sum(n * price for n, (price, _) in zip(taken, patterns, strict=True))


@pytest.mark.cases
@pytest.mark.parametrize("seed", range(CASES // 125))
def test_bars_cost_what_all_patterns_written_out_cost(seed: int) -> None:
    rng = Random(f"bars {SEED} {seed}")
    kerf = rng.choice([0, 0, 1, 3])
    bars = [(rng.randint(60, 120), rng.randint(3, 9)) for _ in range(rng.randint(1, 3))]
    most = max(length for length, _price in bars)
    lengths = rng.sample(range(12, most), rng.randint(1, 4))
    counts = [rng.randint(1, 5) for _ in lengths]
    pieces = [
        length_piece(f"p{at}", length, count=count)
        for at, (length, count) in enumerate(zip(lengths, counts, strict=True))
    ]
    stock = [
        bar(f"b{at}", length, price=price) for at, (length, price) in enumerate(bars)
    ]

    plan = plan_lengths(pieces, stock, Rules(kerf=kerf), budget=DEEP)

    best = by_patterns(lengths, counts, bars, kerf)
    assert plan.lower_bound.cost <= best <= plan.cost
    assert plan.cost == best or not plan.proven
