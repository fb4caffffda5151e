"""Lower bounds in money when there is more than one size of stock.

A price on every piece is a proof when no stock can ever carry pieces worth more than
it costs: all pieces together then cost at least their prices. Stock of which there is
only so much (an offcut) may be worth more than it costs; what it is worth too much is
its limit, and is taken off once for each of them.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import gcd

from materials.core.cutting.problem import Problem

MOST_STEPS = 50_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Prices:
    """Prices for the sorts and limits for the sizes, in 1/`scale` minor units."""

    scale: int
    prices: tuple[int, ...]
    limits: tuple[int, ...]

    def bound(self, problem: Problem) -> int:
        """Return the least cost that the prices prove, in whole minor units.

        Rounds: up.
        """
        worth = sum(
            price * sort.count
            for price, sort in zip(self.prices, problem.sorts, strict=True)
        )
        for limit, size in zip(self.limits, problem.sizes, strict=True):
            worth -= limit * (size.most or 0)
        return max(0, -(-worth // self.scale))


def area_prices(problem: Problem) -> Prices:
    """Return prices in proportion to the areas, kerf included.

    Valid without looking at any pattern: no sheet holds more than its area.
    Method: the rate is that of one size, whichever gives the best bound.
    """
    best = Prices(
        scale=1,
        prices=tuple(0 for _ in problem.sorts),
        limits=tuple(0 for _ in problem.sizes),
    )
    for rate in problem.sizes:
        excess = [
            size.area * rate.price - rate.area * size.price for size in problem.sizes
        ]
        if any(
            over > 0 and size.most is None
            for over, size in zip(excess, problem.sizes, strict=True)
        ):
            continue
        worth = [sort.area * rate.price for sort in problem.sorts]
        limits = [max(0, over) for over in excess]
        common = gcd(rate.area, *worth, *limits)
        prices = Prices(
            scale=rate.area // common,
            prices=tuple(one // common for one in worth),
            limits=tuple(one // common for one in limits),
        )
        if prices.bound(problem) > best.bound(problem):
            best = prices
    return best


def next_sum(problem: Problem, cost: int, *, counted: bool = False) -> int:
    """Return the least sum of stock prices that is `cost` or more.

    `counted` keeps to the number there is of each; otherwise every price may be
    added as often as wanted, which is all that a price certificate promises.
    """
    prices = {size.price for size in problem.sizes if size.price}
    if cost <= 0 or not prices:
        return max(cost, 0)
    if len(prices) == 1 and not counted:
        step = prices.pop()
        return -(-cost // step) * step
    top = cost + max(prices)
    sums = {0}
    for size in problem.sizes:
        if not size.price:
            continue
        most = size.most if counted and size.most is not None else top // size.price
        grown = sums
        for _ in range(min(most, top // size.price)):
            grown = {one + size.price for one in grown if one + size.price <= top}
            if grown <= sums:
                break
            sums = sums | grown
            if len(sums) > MOST_STEPS:
                return cost
    return min((one for one in sums if one >= cost), default=cost)


def fewest_sheets(problem: Problem, cost: int) -> int | None:
    """Return how many sheets every plan of just this cost opens at least, by area.

    None when the mixes are too many to look at.
    """
    free_areas = sorted(
        (
            size.area
            for size in problem.sizes
            if not size.price
            for _ in range(_useful(problem, size.area, size.most))
        ),
        reverse=True,
    )
    priced = [size for size in problem.sizes if size.price]
    best: int | None = None
    steps = 0

    def visit(at: int, left: int, sheets: int, area: int) -> bool:
        nonlocal best, steps
        steps += 1
        if steps > MOST_STEPS:
            return False
        if not left or at == len(priced):
            if left:
                return True
            total = sheets + _free_sheets(free_areas, area)
            if sum(free_areas) >= area and (best is None or total < best):
                best = total
            return True
        size = priced[at]
        most = left // size.price
        if size.most is not None:
            most = min(most, size.most)
        return all(
            visit(at + 1, left - n * size.price, sheets + n, area - n * size.area)
            for n in range(most, -1, -1)
        )

    return best if visit(0, cost, 0, problem.area) else None


def _free_sheets(areas: list[int], need: int) -> int:
    """Return how many free sheets, the largest first, cover an area or run out."""
    for count, one in enumerate(areas):
        if need <= 0:
            return count
        need -= one
    return len(areas)


def _useful(problem: Problem, area: int, most: int | None) -> int:
    enough = -(-problem.area // area)
    return enough if most is None else min(most, enough)
