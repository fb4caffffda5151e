"""The solver's own answers, checked by hand."""

from __future__ import annotations

from typing import Any

import highspy
import pytest

from materials.core.cutting.linear import Column, Master, whole_cover


def test_duals_come_back_rounded_down() -> None:
    master = Master([3], [])
    master.add((2, {0: 2}))

    assert master.prices(1_000) == [1_000]
    assert master.weights() == [1_500_000]


def test_whole_numbers_cover_what_is_needed() -> None:
    columns = [(2, {0: 2}), (3, {0: 1, 1: 1})]

    times = whole_cover(columns, [3, 1], [], nodes=100, milliseconds=10_000)

    assert times is not None
    assert 2 * times[0] + times[1] >= 3
    assert times[1] >= 1
    assert 2 * times[0] + 3 * times[1] == 5


LENGTHS = (45, 36, 31, 14)
"""Chvatal, Linear Programming, chapter 13, from memory: bars of 100."""

NEED = (97, 610, 395, 211)


def full_patterns() -> list[Column]:
    """Return every way to cut a bar that leaves less than the shortest length."""
    found: list[Column] = []

    def grow(at: int, left: int, counts: dict[int, int]) -> None:
        if at == len(LENGTHS):
            if left < min(LENGTHS):
                found.append((1, counts))
            return
        for many in range(left // LENGTHS[at] + 1):
            more = {**counts, at: many} if many else counts
            grow(at + 1, left - many * LENGTHS[at], more)

    grow(0, 100, {})
    return found


def bars(columns: list[Column], times: list[int]) -> int:
    pairs = list(zip(columns, times, strict=True))
    for row, need in enumerate(NEED):
        assert sum(n * column[1].get(row, 0) for column, n in pairs) >= need
    return sum(times)


def test_whole_numbers_of_bars_are_found_after_the_prices() -> None:
    columns = full_patterns()
    master = Master(NEED, [])
    for column in columns:
        master.add(column)

    prices = master.prices(1_000_000)
    times = whole_cover(columns, NEED, [], nodes=10_000, milliseconds=60_000)

    worth = sum(price * need for price, need in zip(prices, NEED, strict=True))
    assert 0 <= 452_250_000 - worth < sum(NEED)
    assert times is not None
    assert bars(columns, times) == 453


def test_the_pinned_solver_is_right_where_an_lp_is_made_whole_in_place() -> None:
    """Release 1.16.0 gave 356 here, a bound and an objective below the LP's 452.25."""
    columns = full_patterns()
    solver: Any = highspy.Highs()  # type: ignore[no-untyped-call]
    solver.setOptionValue("output_flag", False)
    solver.setOptionValue("mip_rel_gap", 0.0)
    for need in NEED:
        solver.addRow(float(need), solver.inf, 0, [], [])
    for _cost, entries in columns:
        rows = sorted(entries)
        values = [float(entries[row]) for row in rows]
        solver.addCol(1.0, 0.0, solver.inf, len(rows), rows, values)
    solver.run()
    assert solver.getInfo().objective_function_value == pytest.approx(452.25)

    for at in range(len(columns)):
        solver.changeColIntegrality(at, highspy.HighsVarType.kInteger)
    solver.run()

    assert solver.getInfo().objective_function_value == pytest.approx(453)
    times = [int(value + 0.5) for value in solver.getSolution().col_value]
    assert bars(columns, times) == 453
