"""The most valuable way to cut one sheet, exactly: pieces without number, any cuts.

Lengths that matter are sums of piece sizes, each as often as wanted. The sums must be
closed under addition: cut positions may be reduced to them only because whatever lies
on one side of a cut can be pushed together into such a sum. From them only those are
kept that are what remains beside another one. Whole numbers throughout.
"""

from __future__ import annotations

from bisect import bisect_right
from typing import TYPE_CHECKING, Any

from materials.core.cutting.greedy import Move
from materials.core.cutting.problem import Problem, Size

if TYPE_CHECKING:
    import numpy as np

    Grid = np.ndarray[Any, np.dtype[np.int64]]

MOST_POINTS = 1_000_000
"""Points of a table beyond which it takes too long to fill."""

MOST_SUMS = 6_000

MOST_SMALL = 1 << 31
"""What the numbers of a small table stay below."""

MOST_PLAIN = 30_000
"""Points of a table up to which all cuts across are tried."""

MOST_AT_ONCE = 60_000
"""Sums worked out in one go, few enough to stay in the processor's cache."""

ONE_CALL = 3_000
"""Sums that cost as much as one more step does by itself."""


class Knapsack:
    """The table for one size of stock, to be filled again for new prices.

    With a `grain` above 1 pieces are rounded up and the sheet down to so many: still
    patterns that can be cut, no longer the best.

    Method: dynamic programme over guillotine cuts of any depth (Gilmore and Gomory)
    on reduced raster points; optimal for pieces of unlimited number; time in the
    points of the grid times the points of half a side.
    """

    def __init__(self, problem: Problem, size: Size, *, grain: int = 1) -> None:
        self.grain = grain
        self.size = size
        width, height = size.width // grain, size.height // grain
        self.ways = [
            (sort, number, -(-way[0] // grain), -(-way[1] // grain))
            for sort, row in enumerate(problem.sorts)
            for number, way in enumerate(row.ways)
            if -(-way[0] // grain) <= width and -(-way[1] // grain) <= height
        ]
        self.xs = raster([way[2] for way in self.ways], width)
        self.ys = raster([way[3] for way in self.ways], height)
        self.x_rest: list[Any] = []
        self.y_rest: list[Any] = []
        self.across: list[tuple[int, int, int, Any]] = []
        self.pairs: tuple[Any, Any] | None = None

    @property
    def is_large(self) -> bool:
        """Return whether leaving out cuts saves more than choosing them costs."""
        return self.points > MOST_PLAIN

    @property
    def points(self) -> int:
        """Return the number of points of the table, 0 when there are far too many."""
        return len(self.xs) * len(self.ys)

    def best(self, prices: list[int]) -> int:
        """Fill the table for prices by sort; return the value of the whole sheet."""
        import numpy as np

        if not self.x_rest:
            self.x_rest = _rows(_halved(self.xs))
            self.across = _halved(self.ys)
            self.y_rest = _rows(self.across)
            self.pairs = _paired(self.ys, self.y_rest)
        kind = np.int32 if self._is_small(prices) else np.int64
        self.table = np.zeros((len(self.xs), len(self.ys)), dtype=kind)
        for sort, _number, wide, high in self.ways:
            if prices[sort] > 0:
                corner = self.table[
                    _index(self.xs, wide, up=True) :, _index(self.ys, high, up=True) :
                ]
                np.maximum(corner, prices[sort], out=corner)
        self._fill()
        return int(self.table[-1, -1])

    def _is_small(self, prices: list[int]) -> bool:
        """Return whether no value can pass 31 bits: half the bytes, twice as fast."""
        area = self.xs[-1] * self.ys[-1]
        return all(
            prices[sort] * area < wide * high * MOST_SMALL
            for sort, _number, wide, high in self.ways
        )

    def _fill(self) -> None:
        """Go through blocks of rows in which no row can be a part of another.

        A cut whose smaller part is worth no more than one a step smaller is left
        out: that one leaves at least as much for the other part.
        """
        import numpy as np

        table = self.table
        steps = np.zeros(0, dtype=np.intp)
        for first, last in _blocks(self.xs):
            for at in range(first, last):
                row = table[at]
                np.maximum(row, table[at - 1], out=row)
                half = bisect_right(self.xs, self.xs[at] // 2)
                cuts = steps[: steps.searchsorted(half)]
                if len(cuts):
                    pairs = table[self.x_rest[at][cuts - 1]]
                    pairs += table[cuts]
                    np.maximum(row, pairs.max(axis=0), out=row)
            self._fill_across(first, last)
            for at in range(first + 1, last):
                np.maximum(table[at], table[at - 1], out=table[at])
            steps = np.append(steps, _steps(table, first, last))

    def _fill_across(self, first: int, last: int) -> None:
        """Cut the rows of a block the other way, again block by block."""
        import numpy as np

        turned = np.ascontiguousarray(self.table[first:last].T)
        if (
            self.pairs is not None
            and (last - first) * self.pairs[0].size < len(self.across) * ONE_CALL
        ):
            self.table[first:last] = _closed(turned, *self.pairs).T
            return
        steps = np.zeros(0, dtype=np.intp)
        for low, high, half, rests in self.across:
            if self.is_large:
                cuts = steps[: steps.searchsorted(half)]
                smaller, rests = turned[cuts], rests[:, cuts - 1]
            else:
                smaller = turned[1:half]
            if smaller.size:
                most = max(1, MOST_AT_ONCE // smaller.size)
                for at in range(low, high, most):
                    end = min(at + most, high)
                    pairs = turned[rests[at - low : end - low]]
                    pairs += smaller
                    found = turned[at:end]
                    np.maximum(found, pairs.max(axis=1), out=found)
            np.maximum.accumulate(
                turned[low - 1 : high], axis=0, out=turned[low - 1 : high]
            )
            if self.is_large:
                steps = np.append(steps, _steps(turned, low, high))
        self.table[first:last] = turned.T

    def pattern(self, prices: list[int], sheet: int) -> list[Move]:
        """Return the moves of a pattern that has the value of the whole sheet."""
        moves: list[Move] = []
        top = (0, 0, self.size.width, self.size.height)
        waiting = [top]
        while waiting:
            x, y, width, height = waiting.pop()
            i = _index(self.xs, width // self.grain)
            j = _index(self.ys, height // self.grain)
            value = int(self.table[i, j])
            if not value:
                continue
            found = self._piece(prices, i, j, value)
            room = (x, y, width, height, sheet)
            if found is not None:
                moves.append((*found, True, *room))
                continue
            upright, at = self._cut(i, j, value)
            moves.append((-1, at, upright, *room))
            if upright:
                waiting += [(x, y, at, height), (x + at, y, width - at, height)]
            else:
                waiting += [(x, y, width, at), (x, y + at, width, height - at)]
        return moves

    def _piece(
        self, prices: list[int], i: int, j: int, value: int
    ) -> tuple[int, int] | None:
        for sort, number, wide, high in self.ways:
            if prices[sort] == value and wide <= self.xs[i] and high <= self.ys[j]:
                return sort, number
        return None

    def _cut(self, i: int, j: int, value: int) -> tuple[bool, int]:
        """Return a cut whose parts are worth the whole."""
        table = self.table
        for at in range(1, bisect_right(self.xs, self.xs[i] // 2)):
            if int(table[at, j]) + int(table[self.x_rest[i][at - 1], j]) == value:
                return True, self.xs[at] * self.grain
        for at in range(1, bisect_right(self.ys, self.ys[j] // 2)):
            if int(table[i, at]) + int(table[i, self.y_rest[j][at - 1]]) == value:
                return False, self.ys[at] * self.grain
        if i and int(table[i - 1, j]) == value:
            return self._cut(i - 1, j, value)
        return self._cut(i, j - 1, value)


def closed_sums(steps: list[int], most: int) -> list[int]:
    """Return every sum of the steps, each as often as wanted, up to `most`, with 0.

    Shape: rising. Empty when there are too many to be of use.

    >>> closed_sums([3, 5], 10)
    [0, 3, 5, 6, 8, 9, 10]
    """
    sums = {0}
    fresh = [0]
    smallest = sorted(set(steps))
    while fresh:
        grown = {
            one + step for one in fresh for step in smallest if one + step <= most
        } - sums
        sums |= grown
        if len(sums) > MOST_SUMS:
            return []
        fresh = list(grown)
    return sorted(sums)


def raster(steps: list[int], most: int) -> list[int]:
    """Return the sums that remain beside another sum in a length of `most`.

    Every length within `most` may be rounded down to one of them without losing a
    pattern (Scheithauer and Terno's raster points).
    """
    sums = closed_sums(steps, most)
    kept = {sums[bisect_right(sums, most - one) - 1] for one in sums}
    return sorted(kept | {0}) if sums else []


def _index(points: list[int], length: int, *, up: bool = False) -> int:
    """Return the place of the point at or below a length (or at or above it)."""
    at = bisect_right(points, length) - 1
    return at + 1 if up and points[at] < length else at


def _blocks(points: list[int]) -> list[tuple[int, int]]:
    """Return ranges of points so narrow that none is another one plus a piece."""
    blocks = []
    first = 1
    while first < len(points):
        last = bisect_right(points, points[first] + points[1] - 1)
        blocks.append((first, max(last, first + 1)))
        first = blocks[-1][1]
    return blocks


def _steps(table: Grid, first: int, last: int) -> Any:
    """Return the rows of a range that are anywhere worth more than the row before."""
    import numpy as np

    higher = table[first:last] > table[first - 1 : last - 1]
    return np.flatnonzero(higher.any(axis=1)) + first


def _halved(points: list[int]) -> list[tuple[int, int, int, Any]]:
    """Return each block of points, where the halves of its last one end, and its rests.

    Shape: a row of rests for each point, with the place of what is left beside each
    smaller point up to that end, from the second point on.
    """
    import numpy as np

    grid = np.array(points)
    found = []
    for low, high in _blocks(points):
        half = bisect_right(points, points[high - 1] // 2)
        beside = grid[low:high, None] - grid[1:half]
        rests = np.searchsorted(grid, beside, side="right") - 1
        found.append((low, high, half, rests))
    return found


def _paired(points: list[int], rests: list[Any]) -> tuple[Any, Any] | None:
    """Return, for each point, every cut of it as two points; None for far too many."""
    import numpy as np

    most = bisect_right(points, points[-1] // 2) - 1
    if not 0 < len(points) * most <= MOST_AT_ONCE:
        return None
    lower = np.zeros((len(points), most), dtype=np.intp)
    upper = np.arange(len(points))[:, None].repeat(most, axis=1)
    for at, point in enumerate(points):
        cuts = bisect_right(points, point // 2) - 1
        if cuts > 0:
            lower[at, :cuts] = np.arange(1, cuts + 1)
            upper[at, :cuts] = rests[at][:cuts]
    return lower, upper


def _closed(turned: Any, lower: Any, upper: Any) -> Any:
    """Return values by height after cuts across, as many as help: 1, 3, 7, 15, ..."""
    import numpy as np

    np.maximum.accumulate(turned, axis=0, out=turned)
    while True:
        pairs = turned[lower]
        pairs += turned[upper]
        found = np.maximum(turned, pairs.max(axis=1))
        np.maximum.accumulate(found, axis=0, out=found)
        if np.array_equal(found, turned):
            return found
        turned = found


def _rows(halved: list[tuple[int, int, int, Any]]) -> list[Any]:
    """Return the rests by point; the first has none."""
    return [(), *[row for *_ends, rests in halved for row in rests]]
