"""What a certificate proves, worked out from the certificate and the job alone.

Part of the independent checker: it shares no code with the planner.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from math import gcd, lcm
from typing import Any

from materials.core.cutting.checked_job import (
    AskedJob,
    AskedStock,
    Record,
    number_of,
)


def bound_of(*, job: AskedJob, certificate: Record) -> tuple[int, int] | None:
    """Return the cost and, for one size, the sheets that a certificate proves.

    None for a search, which can only be run again. Without proof of sheets, 0.
    """
    kind = certificate["kind"]
    if kind == "search":
        return None
    if kind == "price":
        return _price_bound(job, certificate)
    if len(job.stock) != 1:
        return 0, 0
    stock = job.stock[0]
    if kind == "area":
        need = sum(one.width * one.height * one.count for one in job.pieces)
        sheets = -(-need // (stock.width * stock.height))
    else:
        sheets = _dff_bound(job, certificate["functions"])
    return sheets * stock.price, sheets


def _dff_bound(job: AskedJob, functions: list[Any]) -> int:
    stock = job.grown(job.stock[0].width, job.stock[0].height)
    need = Fraction(0)
    for piece in job.pieces:
        values = [
            _dff(functions[0], w, stock[0]) * _dff(functions[1], h, stock[1])
            for w, h in (job.grown(*way) for way in piece.ways())
            if w <= stock[0] and h <= stock[1]
        ]
        need += min(values) * piece.count
    return -(-need // 1)


def _dff(function: list[Any], length: Fraction, stock: Fraction) -> Fraction:
    """Return a dual feasible function of length/stock, scaled so that stock gives 1."""
    name, k = function[0], number_of(function[1])
    part = length / stock
    if name == "f0":
        step = k / stock
        if not 0 <= 2 * step <= 1:
            raise ValueError(name)
        return Fraction(part > 1 - step) or (part if part >= step else Fraction(0))
    if name == "ccm":
        most = stock // k
        if 2 * k > stock or k <= 0:
            raise ValueError(name)
        if part == Fraction(1, 2):
            return Fraction(1, 2)
        steps = length // k if 2 * part < 1 else most - (stock - length) // k
        return Fraction(steps, most)
    if name == "u" and k >= 1 and k.denominator == 1:
        raised = (k + 1) * part
        return part if raised.denominator == 1 else Fraction(raised // 1) / k
    raise ValueError(name)


def _price_bound(job: AskedJob, certificate: Record) -> tuple[int, int]:
    scale, prices = certificate["scale"], certificate["prices"]
    limits = certificate.get("limits", {})
    for stock in job.stock:
        limit = limits.get(stock.name, 0)
        if limit < 0 or (limit and stock.count is None):
            return 0, 0
        if best_pattern(job, stock, prices) > scale * stock.price + limit:
            return 0, 0
    worth = sum(prices.get(one.name, 0) * one.count for one in job.pieces)
    worth -= sum(limits.get(one.name, 0) * (one.count or 0) for one in job.stock)
    cost = _next_sum([one.price for one in job.stock], max(0, -(-worth // scale)))
    if len(job.stock) == 1 and job.stock[0].price:
        return cost, cost // job.stock[0].price
    return cost, 0


def _next_sum(prices: list[int], cost: int) -> int:
    sums = [True] + [False] * (cost + max(prices))
    for at in range(1, len(sums)):
        sums[at] = any(0 < price <= at and sums[at - price] for price in prices)
    return next((at for at in range(cost, len(sums)) if sums[at]), cost)


def best_pattern(job: AskedJob, stock: AskedStock, prices: Mapping[str, int]) -> int:
    """Return the most that the pieces cut from one stock can be worth together.

    Every piece may be cut as often as it fits, and cuts may go on for ever.
    Method: dynamic programme over all sums of piece sizes, exact whole numbers.
    """
    ways = [
        (*job.grown(*way), prices.get(piece.name, 0))
        for piece in job.pieces
        for way in piece.ways()
        if prices.get(piece.name, 0) > 0
    ]
    width, height = job.grown(stock.width, stock.height)
    ways = [way for way in ways if way[0] <= width and way[1] <= height]
    if not ways:
        return 0
    numbers = [width, height, *[one for way in ways for one in way[:2]]]
    bottom = lcm(*[Fraction(one).denominator for one in numbers])
    step = gcd(*[int(one * bottom) for one in numbers])
    whole = [(int(a * bottom) // step, int(b * bottom) // step, c) for a, b, c in ways]
    wide, high = int(width * bottom) // step, int(height * bottom) // step
    xs = _sums([way[0] for way in whole], wide)
    ys = _sums([way[1] for way in whole], high)
    return _pattern_values(xs, ys, whole)


def _sums(steps: list[int], most: int) -> list[int]:
    """Return every sum of the steps, any number of each, up to `most`, with 0."""
    bits = 1
    mask = (1 << (most + 1)) - 1
    for step in set(steps):
        shift = step
        while shift <= most:
            bits |= (bits << shift) & mask
            shift *= 2
    return [at for at in range(most + 1) if bits >> at & 1]


def _pattern_values(xs: list[int], ys: list[int], ways: list[Any]) -> int:
    """Return the value of the last point of the grid: the whole stock."""
    import numpy as np

    def floors(points: list[int]) -> list[Any]:
        """For each point, the index of what is left beside each smaller half."""
        grid = np.array(points)
        return [
            np.searchsorted(grid, point - grid[1 : at + 1], side="right") - 1
            for at, point in enumerate(points)
        ]

    big = max(way[2] for way in ways) * len(xs) * len(ys) >= 1 << 62
    best = np.zeros((len(xs), len(ys)), dtype=object if big else np.int64)
    x_rest, y_rest = floors(xs), floors(ys)
    for i, x in enumerate(xs):
        row = best[i]
        for wide, high, value in ways:
            if wide <= x:
                upper = row[np.searchsorted(ys, high) :]
                np.maximum(upper, value, out=upper)
        if i:
            np.maximum(row, best[i - 1], out=row)
        if i > 1:
            pairs = best[1:i] + best[x_rest[i][: i - 1]]
            np.maximum(row, pairs.max(axis=0), out=row)
        for j in range(1, len(ys)):
            row[j] = max(row[j], row[j - 1])
            if j > 1:
                row[j] = max(row[j], (row[1:j] + row[y_rest[j][: j - 1]]).max())
    return int(best[-1, -1])
