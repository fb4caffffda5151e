"""Which numbers of which sheets could be cheaper than a plan at hand."""

from __future__ import annotations

from typing import Protocol

from materials.core.cutting.problem import Problem

Mix = tuple[int, ...]
"""The sizes of some sheets, by number, one entry a sheet."""

MOST_MIXES = 400
MOST_STEPS = 40_000


class Worth(Protocol):
    """What is known of the plan to beat."""

    @property
    def sizes(self) -> tuple[int, ...]:
        """Return the size of every sheet it uses."""

    @property
    def cost(self) -> int:
        """Return its cost."""


def cheaper_mixes(problem: Problem, best: Worth, bound: tuple[int, int]) -> list[Mix]:
    """Return mixes that cost less than a plan, or as much with fewer sheets.

    Only mixes whose area could hold the pieces and whose cost is not below `bound`
    are listed; free stock is added to all of them. The ones most like the plan at
    hand come first: dearest first, then the largest area.
    Method: depth first over the priced sizes, cut off after a fixed number of steps.
    """
    free = _free_part(problem, best)
    free_area = sum(problem.sizes[number].area for number in free)
    priced = [
        number
        for number, size in enumerate(problem.sizes)
        if size.price and problem.area > 0
    ]
    found: list[tuple[int, int, int, Mix]] = []
    steps = 0

    def visit(at: int, mix: Mix, cost: int, area: int) -> None:
        nonlocal steps
        steps += 1
        if steps > MOST_STEPS or (cost, 0) > (best.cost, 0):
            return
        enough = area >= problem.area
        better = cost < best.cost or len(mix) + len(free) < len(best.sizes)
        if enough and better and cost >= bound[0]:
            found.append((-cost, len(mix), -area, mix + free))
        if at == len(priced):
            return
        size = problem.sizes[priced[at]]
        visit(at + 1, mix, cost, area)
        used = 0
        while size.most is None or used < size.most:
            used += 1
            cost += size.price
            area += size.area
            mix = (*mix, priced[at])
            if cost > best.cost:
                return
            visit(at + 1, mix, cost, area)

    visit(0, (), 0, free_area)
    found += _fewer_free(problem, best)
    found.sort()
    unique = dict.fromkeys(row[3] for row in found)
    return _largest(problem, list(unique)[:MOST_MIXES])


def _largest(problem: Problem, mixes: list[Mix]) -> list[Mix]:
    """Return the mixes that are no part of another: what fits a part fits the whole."""
    counted = []
    for mix in mixes:
        counts = [0] * len(problem.sizes)
        for number in mix:
            counts[number] += 1
        counted.append(counts)
    return [
        mix
        for mix, counts in zip(mixes, counted, strict=True)
        if not any(
            other is not counts
            and all(a <= b for a, b in zip(counts, other, strict=True))
            for other in counted
        )
    ]


def _free_part(problem: Problem, best: Worth) -> Mix:
    """Return all the free stock that could serve."""
    pieces = sum(sort.count for sort in problem.sorts)
    free: list[int] = []
    for number, size in enumerate(problem.sizes):
        if not size.price:
            used = sum(1 for one in best.sizes if one == number)
            most = used + 1 if size.most is None else size.most
            free += [number] * min(most, pieces)
    return tuple(free)


def _fewer_free(problem: Problem, best: Worth) -> list[tuple[int, int, int, Mix]]:
    """Return the plan's own mix with one free sheet left out, for fewer sheets."""
    found = []
    for number in dict.fromkeys(best.sizes):
        if problem.sizes[number].price:
            continue
        sizes = list(best.sizes)
        sizes.remove(number)
        area = sum(problem.sizes[one].area for one in sizes)
        if area >= problem.area:
            found.append((-best.cost, len(sizes), -area, tuple(sizes)))
    return found
