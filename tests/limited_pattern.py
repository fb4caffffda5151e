"""The most valuable pattern of one sheet, each piece only so many times, exactly.

A reference for tests, apart from the planner's own blocks and tables. Small blocks are
joined to larger ones, side by side and one above the other. A block is given up as soon
as its value and the most that can lie around it, pieces without number, stay below what
is asked for (Viswanathan and Bagchi's bound, from memory).
"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass

from materials.core.cutting.knapsack import closed_sums
from materials.core.cutting.problem import Problem

Counts = tuple[int, ...]
"""How many of each sort."""

Block = tuple[int, int, Counts]
"""Width, height and what lies in it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tables:
    """What a rectangle holds at most, and what can lie around one at most.

    By place of width and height among the sums of pieces; pieces without number.
    """

    xs: list[int]
    ys: list[int]
    inside: list[list[int]]
    around: list[list[int]]


def tables(problem: Problem, values: list[int]) -> Tables:
    """Return both tables for the values by sort, filled by trying every cut."""
    size = problem.sizes[0]
    ways = [
        (*way[:2], value)
        for sort, value in zip(problem.sorts, values, strict=True)
        for way in sort.ways
    ]
    xs = sorted({*closed_sums([way[0] for way in ways], size.width), size.width})
    ys = sorted({*closed_sums([way[1] for way in ways], size.height), size.height})
    inside = [[0] * len(ys) for _ in xs]
    for i, x in enumerate(xs):
        for j, y in enumerate(ys):
            found = [v for w, h, v in ways if w <= x and h <= y]
            found += [inside[i - 1][j]] * (i > 0) + [inside[i][j - 1]] * (j > 0)
            found += [
                inside[k][j] + inside[_at(xs, x - xs[k])][j]
                for k in range(1, _at(xs, x // 2) + 1)
            ]
            found += [
                inside[i][k] + inside[i][_at(ys, y - ys[k])]
                for k in range(1, _at(ys, y // 2) + 1)
            ]
            inside[i][j] = max(found, default=0)
    return Tables(xs=xs, ys=ys, inside=inside, around=_around(xs, ys, inside))


def _around(xs: list[int], ys: list[int], inside: list[list[int]]) -> list[list[int]]:
    """Return the most that strips beside and above a rectangle can be worth."""
    around = [[0] * len(ys) for _ in xs]
    for i in reversed(range(len(xs))):
        for j in reversed(range(len(ys))):
            found = [around[i][j]]
            found += [row[j] for row in around[i + 1 : i + 2]]
            found += around[i][j + 1 : j + 2]
            found += [
                inside[k][j] + around[_at(xs, xs[i] + xs[k])][j]
                for k in range(1, _at(xs, xs[-1] - xs[i]) + 1)
            ]
            found += [
                inside[i][k] + around[i][_at(ys, ys[j] + ys[k])]
                for k in range(1, _at(ys, ys[-1] - ys[j]) + 1)
            ]
            around[i][j] = max(found)
    return around


def blocks_worth(problem: Problem, values: list[int], least: int) -> list[Block]:
    """Return every block that is part of a pattern worth `least` or more.

    Shape: by rising number of pieces; of the same pieces only the sizes that no other
    one beats both ways. Some may be parts of no such pattern; none is left out.
    """
    known = tables(problem, values)

    def kept(blocks: set[Block]) -> list[Block]:
        found: list[Block] = []
        for wide, high, counts in sorted(blocks, key=lambda one: (one[2], one[:2])):
            if found and found[-1][2] == counts and found[-1][1] <= high:
                continue
            i, j = _at(known.xs, wide), _at(known.ys, high)
            worth = sum(n * v for n, v in zip(counts, values, strict=True))
            if worth + known.around[i][j] >= least:
                found.append((wide, high, counts))
        return found

    most = tuple(sort.count for sort in problem.sorts)
    size = problem.sizes[0]
    single = {
        (way[0], way[1], tuple(int(at == other) for other in range(len(most))))
        for at, sort in enumerate(problem.sorts)
        for way in sort.ways
        if way[0] <= size.width and way[1] <= size.height
    }
    levels = [[], kept(single)]
    for pieces in range(2, sum(most) + 1):
        joined = {
            block
            for less in range(1, pieces // 2 + 1)
            for one in levels[less]
            for other in levels[pieces - less]
            for block in _joined(one, other, most)
            if block[0] <= size.width and block[1] <= size.height
        }
        levels.append(kept(joined))
    return [block for level in levels for block in level]


def most_worth(problem: Problem, values: list[int], *, hope: int) -> tuple[int, Counts]:
    """Return the value of the best pattern and what lies on it.

    Method: asks for `hope` and, until something is worth that, for a hundredth less
    each time; exact, since everything worth what is asked for is found.
    """
    while True:
        found = [
            (sum(n * v for n, v in zip(counts, values, strict=True)), counts)
            for _wide, _high, counts in blocks_worth(problem, values, hope)
        ]
        best = max(found, default=(0, ()))
        if best[0] >= hope or not hope:
            return best
        hope = hope * 99 // 100


def _joined(one: Block, other: Block, most: Counts) -> list[Block]:
    counts = tuple([a + b for a, b in zip(one[2], other[2], strict=True)])
    if any(n > limit for n, limit in zip(counts, most, strict=True)):
        return []
    return [
        (one[0] + other[0], max(one[1], other[1]), counts),
        (max(one[0], other[0]), one[1] + other[1], counts),
    ]


def _at(points: list[int], length: int) -> int:
    """Return the place of the point at or below a length."""
    return bisect_right(points, length) - 1
