"""What no plan can beat: areas and dual feasible functions.

A dual feasible function f turns lengths into other lengths such that whatever fits
side by side in the stock length W still fits in f(W) afterwards. A product f(width) ·
g(height), f made for W and g for H, is therefore an area that can stand in for the
true one: all pieces of one sheet together never exceed f(W) · g(H), however they are
cut. The pieces' sum divided by that, rounded up, is a number of sheets that cannot be
undercut. The stand-in area of a piece that may turn is the smaller of its two ways,
leaving out a way that is larger than the sheet; hence `"turned": "min"`.

Lengths here are those of the job with the kerf added once, to pieces and to the sheet
alike: a sheet of W with a kerf of c counts as W + c, a piece of w as w + c. Written
for a length w in a stock length W, all divisions but `w / W` rounding down:

* `f0` with a length k, 0 <= k <= W / 2: the value is W when w > W - k, w itself when
  k <= w <= W - k, and 0 when w < k; f(W) = W. With k = 0 it is the length itself.
  Large pieces take the whole width because nothing of k or more lies beside them.
* `ccm` with a length k, 0 < k <= W / 2: the value is 2 · (W // k - (W - w) // k) when
  w > W / 2, W // k when w = W / 2, and 2 · (w // k) when w < W / 2;
  f(W) = 2 · (W // k). It counts how many steps of k a piece takes, or leaves.
* `u` with a whole number k >= 1: the value is k · w when (k + 1) · w is a multiple of
  W, else W · ((k + 1) · w // W); f(W) = k · W. It rounds to k-ths of the stock.

>>> function_value("f0", 3, 8, 10), function_capacity("f0", 3, 10)
(10, 10)
>>> function_value("ccm", 3, 6, 10), function_capacity("ccm", 3, 10)
(4, 6)
>>> function_value("u", 2, 4, 10), function_capacity("u", 2, 10)
(10, 20)
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from materials.core.cutting.problem import Problem, Size

Function = tuple[str, int]

FINEST = 20
"""Largest k tried for `u`."""

PASSES = 4

THOUSAND = 1_000


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetBound:
    """So many sheets are needed at least, because of these two functions."""

    sheets: int
    along_x: Function
    along_y: Function
    area: StandIn


def function_value(name: str, k: int, length: int, stock: int) -> int:
    """Return the value of a dual feasible function, as the module describes it."""
    if name == "f0":
        if length > stock - k:
            return stock
        return length if length >= k else 0
    if name == "ccm":
        if 2 * length > stock:
            return 2 * (stock // k - (stock - length) // k)
        return stock // k if 2 * length == stock else 2 * (length // k)
    if (k + 1) * length % stock == 0:
        return k * length
    return stock * ((k + 1) * length // stock)


def function_capacity(name: str, k: int, stock: int) -> int:
    """Return the value of the whole stock length."""
    if name == "f0":
        return stock
    return 2 * (stock // k) if name == "ccm" else k * stock


def area_bound(problem: Problem, size: Size) -> int:
    """Return how many sheets the areas alone ask for, the kerf left out.

    Rounds: up.
    """
    kerf = problem.kerf
    need = sum(
        (sort.ways[0][0] - kerf) * (sort.ways[0][1] - kerf) * sort.count
        for sort in problem.sorts
    )
    return -(-need // ((size.width - kerf) * (size.height - kerf)))


def sheet_bound(problem: Problem, size: Size, *, enough: int) -> SheetBound:
    """Return the best bound found over pairs of dual feasible functions.

    Method: the functions of each direction are improved in turn while the other is
    held; a search for the best pair, but whichever is found is a proof. Ends early
    at `enough` sheets.
    """
    return _PairSearch(problem, size, enough).best()


class _PairSearch:
    """Improve one function of the pair while the other is held."""

    def __init__(self, problem: Problem, size: Size, enough: int) -> None:
        self.enough = enough
        self.counts = [sort.count for sort in problem.sorts]
        ways = [
            [way for way in sort.ways if way[0] <= size.width and way[1] <= size.height]
            for sort in problem.sorts
        ]
        wide = [(row[0][0], row[-1][0]) for row in ways]
        high = [(row[0][1], row[-1][1]) for row in ways]
        self.tables = (_table(wide, size.width), _table(high, size.height))
        plain = (self.tables[0][0], self.tables[1][0])
        self.found = SheetBound(
            sheets=0,
            along_x=plain[0].function,
            along_y=plain[1].function,
            area=_stand_in(*plain),
        )
        self.ratio = (0, 1)

    def best(self) -> SheetBound:
        """Return the best pair after a few passes from several beginnings."""
        for begin in range(3):
            held = self.tables[1][begin * (len(self.tables[1]) - 1) // 2]
            for turn in range(PASSES):
                before = self.ratio
                held = self._pass(held, axis=turn % 2)
                if self.found.sheets >= self.enough:
                    return self.found
                if turn and before == self.ratio:
                    break
        return self.found

    def _pass(self, held: _Row, *, axis: int) -> _Row:
        best_top, best_bottom = -1, 1
        best = self.tables[axis][0]
        counts = self.counts
        for row in self.tables[axis]:
            top = 0
            for count, (a, b), (c, d) in zip(
                counts, row.values, held.values, strict=True
            ):
                first, second = a * c, b * d
                top += count * (first if first < second else second)
            bottom = row.capacity * held.capacity
            if top * best_bottom > best_top * bottom:
                best_top, best_bottom, best = top, bottom, row
        if best_top * self.ratio[1] > self.ratio[0] * best_bottom:
            self.ratio = (best_top, best_bottom)
            pair = (best, held) if axis == 0 else (held, best)
            self.found = SheetBound(
                sheets=-(-best_top // best_bottom),
                along_x=pair[0].function,
                along_y=pair[1].function,
                area=_stand_in(*pair),
            )
        return best


@dataclass(frozen=True, slots=True)
class StandIn:
    """A stand-in area: its value for each sort, and what one sheet holds of it."""

    values: tuple[int, ...]
    capacity: int


def stand_ins(problem: Problem, size: Size) -> list[StandIn]:
    """Return the true area and many stand-in areas, those that ask for most first.

    Shape: the area first, then for each function of one axis the best of the other;
    those alike in every value once.
    """
    search = _PairSearch(problem, size, 1 << 60)
    columns, rows = search.tables
    shares = _shares(columns, rows, search.counts)
    pairs = {(i, int(j)): shares[i, j] for i, j in enumerate(shares.argmax(axis=1))}
    pairs |= {(int(i), j): shares[i, j] for j, i in enumerate(shares.argmax(axis=0))}
    ranked = sorted(pairs, key=lambda pair: (-int(pairs[pair]), pair))
    found = [_stand_in(columns[i], rows[j]) for i, j in [(0, 0), *ranked]]
    return list(dict.fromkeys(found))


def _shares(columns: list[_Row], rows: list[_Row], counts: list[int]) -> Any:
    """Return for every pair of functions the sheets it asks for, in thousandths.

    Rounds: down; only used to rank.
    """
    import numpy as np

    most = max(row.capacity for row in columns) * max(row.capacity for row in rows)
    small = most * sum(counts) * THOUSAND < 1 << 62
    kind = np.int64 if small else object

    def values(table: list[_Row], way: int) -> Any:
        return np.array([[v[way] for v in row.values] for row in table], dtype=kind)

    straight = values(columns, 0)[:, None, :] * values(rows, 0)[None, :, :]
    turned = values(columns, 1)[:, None, :] * values(rows, 1)[None, :, :]
    needs = (np.minimum(straight, turned) * np.array(counts, dtype=kind)).sum(axis=2)
    room = np.outer(
        np.array([row.capacity for row in columns], dtype=kind),
        np.array([row.capacity for row in rows], dtype=kind),
    )
    return needs * THOUSAND // room


def _stand_in(along_x: _Row, along_y: _Row) -> StandIn:
    return StandIn(
        _least_products(along_x, along_y), along_x.capacity * along_y.capacity
    )


def _least_products(along_x: _Row, along_y: _Row) -> tuple[int, ...]:
    pairs = zip(along_x.values, along_y.values, strict=True)
    return tuple([min(a * c, b * d) for (a, b), (c, d) in pairs])


@dataclass(frozen=True, slots=True)
class _Row:
    function: Function
    capacity: int
    values: tuple[tuple[int, int], ...]


def _table(lengths: list[tuple[int, int]], stock: int) -> list[_Row]:
    """Return every function worth trying along one axis, alike ones once."""
    half = stock // 2
    steps = sorted({one for pair in lengths for one in pair if one <= half})
    rest = sorted({stock - one + 1 for pair in lengths for one in pair})
    functions: list[Function] = [("f0", 0)]
    functions += [("f0", k) for k in sorted({*steps, *rest}) if 0 < k <= half]
    functions += [("ccm", k) for k in steps]
    functions += [("u", k) for k in range(1, FINEST)]
    seen = set()
    table = []
    for name, k in functions:
        capacity = function_capacity(name, k, stock)
        values = tuple(
            (function_value(name, k, a, stock), function_value(name, k, b, stock))
            for a, b in lengths
        )
        if (capacity, values) not in seen:
            seen.add((capacity, values))
            table.append(_Row((name, k), capacity, values))
    return table
