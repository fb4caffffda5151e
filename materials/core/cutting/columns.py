"""Whole patterns as the unknowns: column generation for a bound and for better plans.

An LP chooses how often to cut each pattern known so far; its duals are prices of the
pieces; a pattern worth more than its sheet costs joins in. Greedy packing finds most
of them, then a table on coarse sizes, and only when both fail the exact table, which
is also what turns the prices into a proof (Gilmore and Gomory; the bound before the
end is Farley's). In the end whole numbers are asked for over all patterns found.
"""

from __future__ import annotations

from fractions import Fraction

from materials.core.cutting.bounds import sheet_bound
from materials.core.cutting.greedy import FITS, SPLITS, Move, shuffled
from materials.core.cutting.knapsack import MOST_POINTS, Knapsack
from materials.core.cutting.linear import Column, Master, whole_cover
from materials.core.cutting.money_bound import Prices, area_prices
from materials.core.cutting.problem import Problem
from materials.core.cutting.records import Budget
from materials.core.cutting.search import Found, Search
from materials.core.cutting.trees import without_extra

FINENESS = 1_000_000
"""Parts of a minor unit that prices are counted in, with several sizes of stock."""

COARSENED = 1 << 25
"""Parts of a sheet, where sheets are counted: few enough for a table of 31 bits."""

TRIES = 16
"""Greedy patterns a round: the exact table finds what they miss."""

MOST_NEW = 8
MOST_COLUMNS = 1_200

WHOLE_SHARE = 3
"""One part in so many of the time left is given to whole numbers of patterns."""

LATE_ROUNDS = 12
"""Rounds that go on for better plans once the LP can prove no more."""

QUICK_POINTS = 12_000
"""Points of a table that is filled even where only better plans are to be gained."""

COARSE = 100
"""The coarse table has about so many steps along the longer side."""


class Columns:
    """The patterns of one job, its LP and the best prices proved so far."""

    def __init__(self, problem: Problem, search: Search, budget: Budget) -> None:
        self.problem = problem
        self.search = search
        self.budget = budget
        self.limited = [
            number for number, size in enumerate(problem.sizes) if size.most is not None
        ]
        self.need = [sort.count for sort in problem.sorts]
        self.there = [problem.sizes[number].most or 0 for number in self.limited]
        self.costs = [size.price for size in problem.sizes]
        if problem.counts_sheets and not self.costs[0]:
            self.costs = [1]
        self.fineness = FINENESS
        if problem.counts_sheets:
            self.fineness = max(1, min(FINENESS, COARSENED // self.costs[0]))
        self.master = Master(self.need, self.there)
        self.patterns: list[tuple[int, tuple[Move, ...]]] = []
        self.columns: list[Column] = []
        self.known: set[tuple[int, ...]] = set()
        self.tables = [Knapsack(problem, size) for size in problem.sizes]
        grains = [-(-max(size.width, size.height) // COARSE) for size in problem.sizes]
        self.coarse = {
            number: Knapsack(problem, problem.sizes[number], grain=grain)
            for number, grain in enumerate(grains)
            if grain > 1
        }
        self.best_prices: Prices | None = self._first_prices()

    def _first_prices(self) -> Prices | None:
        """Return prices by stand-in areas, to have proved something at once."""
        if self.problem.counts_sheets:
            area = sheet_bound(self.problem, self.problem.sizes[0], enough=1 << 60).area
            return Prices(
                scale=area.capacity,
                prices=tuple(value * self.costs[0] for value in area.values),
                limits=(0,),
            )
        return area_prices(self.problem)

    def counts(self, moves: tuple[Move, ...] | list[Move]) -> tuple[int, ...]:
        """Return how many of each sort a pattern has."""
        counts = [0] * len(self.need)
        for move in moves:
            if move[0] >= 0:
                counts[move[0]] += 1
        return tuple(counts)

    def add(self, size: int, moves: tuple[Move, ...] | list[Move]) -> bool:
        """Add a pattern unless one just like it is there."""
        counts = self.counts(moves)
        key = (size, *counts)
        if key in self.known or not any(counts):
            return False
        self.known.add(key)
        entries = {row: count for row, count in enumerate(counts) if count}
        if size in self.limited:
            entries[len(self.need) + self.limited.index(size)] = 1
        column = self.costs[size], entries
        self.master.add(column)
        self.columns.append(column)
        self.patterns.append((size, tuple(moves)))
        return True

    def run(self, goal: int) -> None:
        """Generate columns until the bound reaches `goal`, or cannot, or time is up.

        `goal` is the money (or the sheets) that no plan should be able to undercut.
        """
        self._begin()
        late = 0
        for _ in range(self.budget.rounds):
            if self.budget.stop():
                return
            prices = self.master.prices(self.fineness)[: len(self.need)]
            worth = sum(p * n for p, n in zip(prices, self.need, strict=True))
            hopeless = self.out_of_reach(worth, goal)
            late += hopeless
            if late <= LATE_ROUNDS and self._cheap_columns(prices):
                continue
            if late > LATE_ROUNDS and not self._may_rise(prices):
                return
            most = QUICK_POINTS if hopeless else MOST_POINTS
            if any(not 0 < table.points <= most for table in self.tables):
                return
            if not self._exact(prices) or self._reached(goal):
                return

    def _exact(self, prices: list[int]) -> bool:
        """Use the exact tables at smoothed prices; return whether to go on.

        Between the LP's prices and the best proved ones lie prices that prove more
        and swing less; a pattern found there may be no news for the LP, but then the
        proof has become better (Wentges' smoothing).
        """
        center = self._center()
        if center is not None:
            smooth = [(a + b) // 2 for a, b in zip(prices, center, strict=True)]
            before = self._proved()
            if self._exact_columns(smooth, prices):
                return True
            if self._proved() > before and self._may_rise(prices):
                return True
        return self._exact_columns(prices, prices)

    def _may_rise(self, prices: list[int]) -> bool:
        """Return whether the LP is dear enough for one sheet more to be proved."""
        if not self.problem.counts_sheets:
            return True
        worth = sum(p * n for p, n in zip(prices, self.need, strict=True))
        cost = self.costs[0]
        return -(-worth // (cost * self.fineness)) > -(-self._proved() // cost)

    def _proved(self) -> Fraction:
        """Return the best bound so far without rounding."""
        best = self.best_prices
        if best is None:
            return Fraction(0)
        worth = sum(p * n for p, n in zip(best.prices, self.need, strict=True))
        for limit, size in zip(best.limits, self.problem.sizes, strict=True):
            worth -= limit * (size.most or 0)
        return Fraction(worth, best.scale)

    def _center(self) -> list[int] | None:
        """Return the best proved prices at the LP's fineness."""
        best = self.best_prices
        if best is None:
            return None
        return [price * self.fineness // best.scale for price in best.prices]

    def out_of_reach(self, worth: int, goal: int) -> bool:
        """Return whether the LP is already too cheap to prove the goal one day."""
        if self.limited:
            return False
        step = self.costs[0] if len(self.costs) == 1 else 1
        return worth <= (goal - step) * self.fineness

    def _reached(self, goal: int) -> bool:
        return (
            self.best_prices is not None
            and self._bound(self.best_prices) > goal - min(self.costs)
            and len(self.costs) == 1
        )

    def _bound(self, prices: Prices) -> int:
        return prices.bound(self.problem)

    def _begin(self) -> None:
        """Start from the plan at hand and one plain pattern a sort."""
        best = self.search.best
        if best is not None:
            for used, cut in zip(best.sizes, best.moves, strict=True):
                self.add(used, cut)
        for number, size in enumerate(self.problem.sizes):
            for sort, row in enumerate(self.problem.sorts):
                free = [(size.width, size.height, 0, 0, 0)]
                _left, moves = self.search.packer.pack([sort] * row.count, free, 3, 4)
                self.add(number, moves)
        for one, kept in self.search.remembered:
            self.add(one, kept)

    def _cheap_columns(self, prices: list[int]) -> bool:
        """Add patterns that greedy packing or the coarse table finds worth it."""
        added = False
        for number in range(len(self.costs)):
            for moves in self._greedy(prices, number):
                added |= self.add(number, moves)
        if added:
            return True
        if self.problem.least:
            return False
        for number, table in self.coarse.items():
            if table.points and table.best(prices) > self.costs[number] * self.fineness:
                added |= self.add(number, table.pattern(prices, 0))
        return added

    def _greedy(self, prices: list[int], number: int) -> list[list[Move]]:
        size = self.problem.sizes[number]
        rng = self.search.rng
        sorts = self.problem.sorts
        least = self.costs[number] * self.fineness
        density = [
            price * 1_000_000 // sort.area
            for price, sort in zip(prices, sorts, strict=True)
        ]
        order = [
            sort
            for sort in range(len(sorts))
            if prices[sort] > 0
            for _ in range(min(sorts[sort].count, size.area // sorts[sort].area))
        ]
        found: list[tuple[int, list[Move]]] = []
        for turn in range(TRIES):
            key = density if turn % 2 else prices
            tried = shuffled(order, key, 0 if turn < 2 else 60, rng)
            fit, split = int(rng.random() * len(FITS)), int(rng.random() * len(SPLITS))
            free = [(size.width, size.height, 0, 0, 0)]
            _left, moves = self.search.packer.pack(tried, free, fit, split)
            value = sum(prices[move[0]] for move in moves)
            if value > least + self.fineness // 10_000:
                found.append((value, moves))
        found.sort(key=lambda row: -row[0])
        return [moves for _value, moves in found[:MOST_NEW]]

    def _exact_columns(self, prices: list[int], duals: list[int]) -> bool:
        """Fill the exact tables: prove what the prices prove, add what they missed.

        A pattern is added when it is worth it at the LP's own prices, the duals.
        """
        values = []
        added = False
        for number, table in enumerate(self.tables):
            value = table.best(prices)
            values.append(value)
            if self.problem.least:
                continue
            moves = table.pattern(prices, 0)
            worth = sum(duals[move[0]] for move in moves if move[0] >= 0)
            if worth > self.costs[number] * self.fineness:
                added |= self.add(number, moves)
        self._prove(prices, values)
        return added

    def _prove(self, prices: list[int], values: list[int]) -> None:
        """Keep prices as a proof, with limits where stock is limited."""
        prices = [max(price, 0) for price in prices]
        pairs = list(zip(self.problem.sizes, self.costs, values, strict=True))
        scale = 1
        for size, cost, value in pairs:
            if size.most is None and value:
                if not cost:
                    return
                scale = max(scale, -(-value // cost))
        for tried in {scale, max(scale, self.fineness)}:
            proof = Prices(
                scale=tried,
                prices=tuple(prices),
                limits=tuple(
                    0 if size.most is None else max(0, value - tried * cost)
                    for size, cost, value in pairs
                ),
            )
            before, kept = self._proved(), self.best_prices
            self.best_prices = proof
            if kept is not None and self._proved() <= before:
                self.best_prices = kept

    def whole(self) -> None:
        """Ask for whole numbers of the patterns found; offer a better plan."""
        chosen = list(range(len(self.columns)))
        if len(self.columns) > MOST_COLUMNS:
            chosen = sorted(sorted(chosen, key=self._fullness)[:MOST_COLUMNS])
        times = whole_cover(
            [self.columns[at] for at in chosen],
            self.need,
            self.there,
            nodes=self.budget.nodes,
            milliseconds=self.budget.milliseconds_left() // WHOLE_SHARE,
        )
        if times is None:
            return
        need = list(self.need)
        sizes: list[int] = []
        plan: list[tuple[Move, ...]] = []
        for at, often in zip(chosen, times, strict=True):
            size, moves = self.patterns[at]
            for _ in range(often):
                kept = without_extra(moves, need, self.problem, len(sizes))
                if kept:
                    sizes.append(size)
                    plan.append(kept)
        if any(need) or any(
            sizes.count(number) > most
            for number, most in zip(self.limited, self.there, strict=True)
        ):
            return
        cost = sum(self.problem.sizes[number].price for number in sizes)
        self.search.offer(Found(sizes=tuple(sizes), moves=tuple(plan), cost=cost))

    def _fullness(self, at: int) -> int:
        size, moves = self.patterns[at]
        used = sum(self.problem.sorts[move[0]].area for move in moves if move[0] >= 0)
        return -used * 1_000_000 // self.problem.sizes[size].area
