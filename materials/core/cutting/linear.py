"""The LP and whole-number solver: the only binary fractions of the package.

Nothing that comes out of here is believed. Duals are rounded down to whole prices
that an exact table then checks; whole-number solutions are rounded and covered again
in integers by the caller; the solver's own bounds are not even returned. The solver's
releases from 1.16.0 on gave a wrong optimum when an LP was turned into a whole-number
problem in place, so every such problem is built anew, and the version is pinned.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

Column = tuple[int, dict[int, int]]
"""Cost, and entries by row."""


def _solver() -> Any:
    import highspy

    solver: Any = highspy.Highs()  # type: ignore[no-untyped-call]
    solver.setOptionValue("output_flag", False)
    solver.setOptionValue("threads", 1)
    solver.setOptionValue("random_seed", 0)
    return solver


class Master:
    """A covering LP that grows by columns.

    Rows with `at_least` need so much; rows with `at_most` allow so much.
    """

    def __init__(self, at_least: Sequence[int], at_most: Sequence[int]) -> None:
        self.solver = _solver()
        infinity = self.solver.inf
        for need in at_least:
            self.solver.addRow(float(need), infinity, 0, [], [])
        for most in at_most:
            self.solver.addRow(-infinity, float(most), 0, [], [])
        self.infinity = infinity

    def add(self, column: Column) -> None:
        """Add a column with a cost and entries by row."""
        cost, entries = column
        rows = sorted(entries)
        values = [float(entries[row]) for row in rows]
        self.solver.addCol(float(cost), 0.0, self.infinity, len(rows), rows, values)

    def prices(self, scale: int) -> list[int]:
        """Solve; return the duals times `scale`, rounded towards zero, by row.

        Rounds: down in size, so that dust does not overrate a pattern.
        """
        self.solver.run()
        return [int(dual * scale) for dual in self.solver.getSolution().row_dual]

    def weights(self) -> list[int]:
        """Return how much of each column the last solution uses, in millionths."""
        return [int(x * 1_000_000) for x in self.solver.getSolution().col_value]


def whole_cover(
    columns: Sequence[Column],
    at_least: Sequence[int],
    at_most: Sequence[int],
    *,
    nodes: int,
    milliseconds: int,
) -> list[int] | None:
    """Return how often to use each column, whole numbers, or None if none was found.

    Method: branch and bound in a model of its own, ended after so many nodes; the
    caller has to check what it covers.
    """
    solver = _solver()
    solver.setOptionValue("mip_max_nodes", nodes)
    solver.setOptionValue("mip_rel_gap", 0.0)
    if len({cost for cost, _entries in columns}) == 1:
        solver.setOptionValue("mip_abs_gap", float(columns[0][0]) * 0.999)
    solver.setOptionValue("time_limit", min(milliseconds, 60_000) / 1_000)
    infinity = solver.inf
    for need in at_least:
        solver.addRow(float(need), infinity, 0, [], [])
    for most in at_most:
        solver.addRow(-infinity, float(most), 0, [], [])
    import highspy

    for number, (cost, entries) in enumerate(columns):
        rows = sorted(entries)
        values = [float(entries[row]) for row in rows]
        solver.addCol(float(cost), 0.0, infinity, len(rows), rows, values)
        solver.changeColIntegrality(number, highspy.HighsVarType.kInteger)
    solver.run()
    values = list(solver.getSolution().col_value)
    if len(values) != len(columns) or not solver.getSolution().value_valid:
        return None
    return [int(value + 0.5) for value in values]
