"""Sheets: what to buy and how to cut it, with proof of how good that is.

The front door of the package: `plan_sheets`. First a bound, then a plan; the search
goes on only while the two differ and the budget lasts.
"""

from __future__ import annotations

from functools import partial

from materials.core.cutting.blocks import TooLong
from materials.core.cutting.bounds import area_bound, sheet_bound
from materials.core.cutting.columns import QUICK_POINTS, Columns
from materials.core.cutting.completion import Completion
from materials.core.cutting.cut_list import CutList
from materials.core.cutting.money_bound import (
    Prices,
    area_prices,
    fewest_sheets,
    next_sum,
)
from materials.core.cutting.problem import Problem, prepared
from materials.core.cutting.records import (
    QUICK,
    Budget,
    Certificate,
    CutPlan,
    DoesNotFit,
    LowerBound,
    NotEnoughStock,
    Piece,
    Rules,
    Stock,
)
from materials.core.cutting.search import Found, Search
from materials.core.cutting.second_phase import with_larger_leftover
from materials.core.errors import Refusal

FIRST_WORK = 150_000
"""Trials before the LP is asked, when it may be."""

SECOND_BLOCKS = 4

SECOND_WORK = 500_000

MANY_WORK = 3_600_000
"""Trials before the LP is asked about many pieces on many sheets."""

THIRD_WORK = 4_000_000
"""The same for many pieces on few sheets, of which the LP knows little."""

MOST_ON_A_SHEET = 6
"""Pieces a sheet on average, up to which the exact search is worth trying."""

MOST_COMPLETED = 80

MOST_SOON_COMPLETED = 45
"""Pieces up to which the exact search is worth trying before everything else."""

MOST_FIRST_COMPLETED = 26
"""Pieces up to which the exact search comes before the LP."""

FIRST_BLOCKS = 20
"""One part in so many of the exact search's steps comes before the LP."""

FIRST_STEPS = 80_000
"""The most steps before the LP, however many there may be: often it proves sooner."""

SECOND_STEPS = 200_000
"""The most steps in the round after that."""


def plan_sheets(
    pieces: list[Piece],
    stock: list[Stock],
    rules: Rules,
    *,
    seed: int = 0,
    budget: Budget = QUICK,
) -> CutPlan:
    """Return what stock to use and how to cut it, with a lower bound and its proof.

    All pieces are cut from whole stock by straight cuts right through a part. Money
    comes first, then the number of sheets. The plan is the best one found; it is
    optimal in money (with one unlimited size: in sheets) when `proven`.

    Units: all lengths in one whole unit, prices in minor units of one currency.
    Shape: one entry a sheet, in the order of opening; pieces named as given.
    Raises: OutOfRange, DoesNotFit, NotEnoughStock.
    Method: greedy starts, ruin and recreate, column generation; bounds by area, dual
    feasible functions and prices. Equal input, seed and budget give equal plans. A
    strip too narrow to snap off is taken off by passes of the blade only where that
    makes a job possible or cheaper.
    """
    plans: list[CutPlan] = []
    refusals: list[Refusal] = []
    for passes in (False, True) if rules.by_passes else (False,):
        planner = partial(_Planner, pieces, stock, rules, seed=seed, budget=budget)
        try:
            plans.append(planner(passes=passes).plan())
        except (DoesNotFit, NotEnoughStock) as refusal:
            refusals.append(refusal)
            continue
        if plans[-1].proven:
            break
    if not plans:
        raise refusals[-1]
    return min(plans, key=lambda plan: (plan.cost, plan.used))


class _Planner:
    """One run: what is known from below and from above."""

    def __init__(
        self,
        pieces: list[Piece],
        stock: list[Stock],
        rules: Rules,
        *,
        seed: int,
        budget: Budget,
        passes: bool = False,
    ) -> None:
        self.rules = rules
        self.stock = {row.name: row for row in stock}
        self.seed = seed
        self.budget = budget
        self.problem = prepared(pieces, stock, rules, passes=passes)
        self.search = Search(self.problem, seed=seed, budget=budget)
        self.cost = 0
        self.sheets: int | None = None
        self.certificate = Certificate(kind="area")
        self.exact: Completion | None = None

    def plan(self) -> CutPlan:
        """Return the plan once bound and search have met or the budget is used up."""
        self._bound()
        self.search.first(self._goal())
        if not self.budget.rounds:
            self._improve(self.budget.work)
            return self._finished()
        blocks = self.budget.blocks if self._are_large() else 0
        self._improve(FIRST_WORK)
        if self._pieces() > MOST_SOON_COMPLETED and self._are_few_on_each():
            self._improve(MANY_WORK)
            self._columns()
            self._improve(self.budget.work)
            self._complete(blocks)
        else:
            self._search(blocks)
        if self.certificate.kind == "search" and self.problem.sizes[0].price:
            self._priced()
        return self._finished()

    def _search(self, blocks: int) -> None:
        """Take turns: a little of everything first, what is left goes to the exact."""
        self._complete(min(blocks // FIRST_BLOCKS, FIRST_STEPS))
        self._improve(SECOND_WORK if blocks else THIRD_WORK)
        if self._pieces() <= MOST_FIRST_COMPLETED:
            self._complete(min(blocks // SECOND_BLOCKS, SECOND_STEPS))
        self._columns()
        self._complete(blocks)
        self._improve(self.budget.work)

    def _pieces(self) -> int:
        return sum(sort.count for sort in self.problem.sorts)

    def _are_large(self) -> bool:
        """Return whether all ways of laying the pieces on sheets can be tried."""
        return self._pieces() <= MOST_COMPLETED and self._are_few_on_each()

    def _are_few_on_each(self) -> bool:
        return self._pieces() <= MOST_ON_A_SHEET * len(self._best().sizes)

    def _goal(self) -> tuple[int, int]:
        if len(self.problem.sizes) > 1:
            return self.cost, fewest_sheets(self.problem, self.cost) or 0
        return self.cost, self.sheets or 0

    def _is_met(self) -> bool:
        """Return whether nothing is left to be gained or to be proved."""
        best = self._best()
        if self.problem.counts_sheets:
            return len(best.sizes) == self.sheets
        return best.cost == self.cost

    def _improve(self, work: int) -> None:
        self.search.improve(self._goal(), work - self.search.packer.work)

    def _complete(self, steps: int) -> None:
        """Ask exactly whether one sheet fewer can be enough, for so many steps more."""
        if not self.problem.counts_sheets or not steps or self._is_met():
            return
        (size,) = self.problem.sizes
        if self.exact is None:
            self.exact = Completion(self.problem, size, stop=self.budget.stop)
        exact = self.exact
        exact.blocks.left = steps
        while not self._is_met():
            fewer = len(self._best().sizes) - 1
            try:
                plan = exact.plan(fewer)
            except TooLong:
                return
            if plan is None:
                self.sheets = fewer + 1
                self.cost = self.sheets * size.price
                self.certificate = Certificate(kind="search")
            elif self.problem.least:
                return
            else:
                self.search.offer(
                    Found(
                        sizes=(0,) * fewer, moves=tuple(plan), cost=fewer * size.price
                    )
                )

    def _columns(self) -> None:
        """Let column generation raise the bound and look for a better plan."""
        if self._is_met():
            return
        columns = Columns(self.problem, self.search, self.budget)
        best = self._best()
        counting = self.problem.counts_sheets
        columns.run(len(best.sizes) * columns.costs[0] if counting else best.cost)
        if columns.best_prices is not None:
            self._take(columns.best_prices, columns.costs)
        if not self._is_met() and not self.budget.stop():
            columns.whole()

    def _priced(self) -> None:
        """Put prices in the place of a mere search, where the LP soon proves as much.

        Anybody can check prices; a search can only be run again.
        """
        columns = Columns(self.problem, self.search, self.budget)
        if not all(0 < table.points <= QUICK_POINTS for table in columns.tables):
            return
        columns.run((self.sheets or 0) * columns.costs[0])
        prices = columns.best_prices
        if prices is None:
            return
        if -(-prices.bound(self.problem) // columns.costs[0]) == self.sheets:
            self.certificate = price_certificate(self.problem, prices)

    def _take(self, prices: Prices, costs: list[int]) -> None:
        """Use proved prices where they say more than the bound so far."""
        bound = prices.bound(self.problem)
        if len(costs) > 1:
            if next_sum(self.problem, bound) > self.cost:
                self._use_prices(prices)
            return
        sheets = -(-bound // costs[0])
        if sheets > (self.sheets or 0):
            size = self.problem.sizes[0]
            self.sheets = sheets
            self.cost = sheets * size.price
            self.certificate = (
                price_certificate(self.problem, prices)
                if size.price
                else Certificate(kind="search")
            )

    def _bound(self) -> None:
        if len(self.problem.sizes) == 1:
            self._bound_sheets()
        else:
            self._use_prices(area_prices(self.problem))

    def _bound_sheets(self) -> None:
        size = self.problem.sizes[0]
        area = area_bound(self.problem, size)
        found = sheet_bound(self.problem, size, enough=1 << 60)
        if found.sheets > area:
            self.certificate = Certificate(
                kind="dff",
                functions=tuple(
                    (name, k if name == "u" else k * self.problem.divisor)
                    for name, k in (found.along_x, found.along_y)
                ),
            )
        self.sheets = max(area, found.sheets)
        self.cost = self.sheets * size.price

    def _use_prices(self, prices: Prices) -> None:
        self.cost = next_sum(self.problem, prices.bound(self.problem))
        self.certificate = price_certificate(self.problem, prices)

    def _best(self) -> Found:
        best = self.search.best
        if best is None:  # pragma: no cover - first() raises instead
            raise AssertionError
        return best

    def _finished(self) -> CutPlan:
        best = with_larger_leftover(
            self.search, self._best(), self.rules, self.budget.tidy
        )
        proven = best.cost == self.cost
        if len(self.problem.sizes) > 1:
            self.sheets = fewest_sheets(self.problem, best.cost) if proven else None
        elif self.problem.counts_sheets:
            proven = len(best.sizes) == self.sheets
        elif not proven:
            self.sheets = None
        names = [list(reversed(sort.names)) for sort in self.problem.sorts]
        sheets, leftovers = [], []
        for at, (number, moves) in enumerate(zip(best.sizes, best.moves, strict=True)):
            row = self.stock[self.problem.sizes[number].name]
            cuts = CutList(
                self.problem, self.rules, moves, (0, 0, row.width, row.height)
            )
            sheets.append(cuts.sheet(row.name, names))
            leftovers += cuts.leftovers(at)
        return CutPlan(
            sheets=tuple(sheets),
            bought=sum(1 for sheet in sheets if self.stock[sheet.stock].price),
            used=len(sheets),
            cost=best.cost,
            lower_bound=LowerBound(cost=self.cost, sheets=self.sheets),
            proven=proven,
            certificate=self.certificate,
            leftovers=tuple(leftovers),
            seed=self.seed,
            cut_count=sum(len(sheet.cuts) for sheet in sheets),
        )


def price_certificate(problem: Problem, prices: Prices) -> Certificate:
    """Return prices of sorts and sizes as prices of pieces and stock by name."""
    by_piece: dict[str, int] = {}
    for price, sort in zip(prices.prices, problem.sorts, strict=True):
        by_piece.update(dict.fromkeys(sort.names, price))
    return Certificate(
        kind="price",
        scale=prices.scale,
        prices=tuple(by_piece.items()),
        limits=tuple(
            (size.name, limit)
            for size, limit in zip(problem.sizes, prices.limits, strict=True)
        ),
    )
