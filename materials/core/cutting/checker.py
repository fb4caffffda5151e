"""Check a cutting plan and the proof of its bound, without trusting the planner.

The checker reads the two records of the file command: what was asked for and what was
answered. It replays the cuts, counts the pieces and the money, and works the bound out
again from the certificate alone. It shares no code with the planner and an import
contract keeps it so. Numbers may be texts, whole numbers or Fractions.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from math import gcd, lcm
from typing import Any

from materials.core.quantities import parse_number

Record = Mapping[str, Any]
Box = tuple[Fraction, Fraction, Fraction, Fraction]

ACROSS = Fraction(1)


def number_of(value: str | int | Fraction) -> Fraction:
    """Return the exact value of a number in a record."""
    return parse_number(value) if isinstance(value, str) else Fraction(value)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Stock:
    name: str
    width: Fraction
    height: Fraction
    price: int
    count: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class _Piece:
    name: str
    width: Fraction
    height: Fraction
    count: int
    turn: bool

    def ways(self) -> list[tuple[Fraction, Fraction]]:
        """Return the sizes it may have as it lies."""
        plain = [(self.width, self.height)]
        return [*plain, (self.height, self.width)] if self.turn else plain


@dataclass(frozen=True, slots=True, kw_only=True)
class _Job:
    """What was asked for; lengths have a height of 1 that is never cut."""

    kerf: Fraction
    snap: Fraction
    leftover: tuple[Fraction, Fraction] | None
    stock: list[_Stock]
    pieces: list[_Piece]
    flat: bool

    @classmethod
    def read(cls, job: Record) -> _Job:
        """Return the job of a record."""
        flat = job.get("bin") == "length"

        def sides(row: Record) -> dict[str, Fraction]:
            if flat:
                return {"width": number_of(row["length"]), "height": ACROSS}
            keys = ("width", "height")
            return {key: number_of(row[key]) for key in keys}

        kept = job.get("leftover")
        if isinstance(kept, list | tuple):
            kept = [number_of(one) for one in kept]
        elif kept is not None:
            kept = [number_of(kept)]
        return cls(
            kerf=number_of(job.get("kerf", 0)),
            snap=number_of(job.get("snap", 0)),
            leftover=(kept[0], ACROSS if flat else kept[1]) if kept else None,
            stock=[
                _Stock(
                    name=row["name"],
                    price=int(number_of(row.get("price", 0)) * 100),
                    count=row.get("count"),
                    **sides(row),
                )
                for row in job["stock"]
            ],
            pieces=[
                _Piece(
                    name=row["name"],
                    count=row.get("count", 1),
                    turn=bool(row.get("turn", True)) and not flat,
                    **sides(row),
                )
                for row in job["pieces"]
            ],
            flat=flat,
        )

    def grown(self, width: Fraction, height: Fraction) -> tuple[Fraction, Fraction]:
        """Return a size with the kerf added, lengthwise only for lengths."""
        return width + self.kerf, height + (0 if self.flat else self.kerf)


def faults(job: Record, answer: Record) -> list[str]:
    """Return what is wrong with an answer, one sentence a fault; none if all is well.

    Checks every cut, piece, leftover, count and sum, that the certificate gives the
    bound that is claimed, and that "proven" is said when and only when it is so.
    """
    asked = _Job.read(job)
    found: list[str] = []
    for at, sheet in enumerate(answer["sheets"]):
        kept = [row for row in answer["leftovers"] if row["sheet"] == at]
        found += [f"Sheet {at}: {text}" for text in _sheet(asked, sheet, kept)]
    found += _counts(asked, answer)
    found += _bounds(asked, answer)
    return found


def _box(asked: _Job, row: Record) -> Box:
    if asked.flat:
        return number_of(row["x"]), Fraction(0), number_of(row["length"]), ACROSS
    x, y, width, height = (number_of(row[key]) for key in ("x", "y", "width", "height"))
    return x, y, width, height


def _sheet(asked: _Job, sheet: Record, kept: list[Record]) -> list[str]:
    """Replay one sheet's cuts and match what is left with what is listed."""
    stock = next((row for row in asked.stock if row.name == sheet["stock"]), None)
    if stock is None:
        return [f"there is no stock “{sheet['stock']}”."]
    whole = (Fraction(0), Fraction(0), stock.width, stock.height)
    parts: list[Box | None] = [whole]
    for cut in sheet["cuts"]:
        number, axis, at = cut["part"], cut["axis"], number_of(cut["at"])
        box = parts[number] if 0 <= number < len(parts) else None
        if box is None:
            return [f"part {number} is not there to be cut."]
        along = {"x": 0, "y": 1}[axis]
        start, end = box[along], box[along] + box[2 + along]
        if not start < at < end:
            return [f"the cut at {at} misses part {number}."]
        parts[number] = None
        near, far = list(box), list(box)
        near[2 + along] = at - start
        far[along], far[2 + along] = at + asked.kerf, end - at - asked.kerf
        made = [near, far] if far[2 + along] > 0 else [near]
        if any(part[2 + along] < asked.snap for part in made):
            return [f"the cut at {at} leaves a strip that cannot be snapped off."]
        parts += [(part[0], part[1], part[2], part[3]) for part in made]
    ends = Counter(part for part in parts if part is not None)
    text = []
    for row in sheet["pieces"]:
        box = _box(asked, row)
        text += _piece(asked, row, box)
        if not ends[box]:
            text.append(f"piece “{row['name']}” is no part that the cuts leave.")
        ends[box] -= 1
    return text + _leftovers(asked, kept, ends)


def _piece(asked: _Job, row: Record, box: Box) -> list[str]:
    piece = next((one for one in asked.pieces if one.name == row["name"]), None)
    if piece is None:
        return [f"nobody asked for “{row['name']}”."]
    turned = bool(row.get("turned", False))
    if turned and not piece.turn:
        return [f"piece “{piece.name}” may not be turned."]
    wanted = (piece.height, piece.width) if turned else (piece.width, piece.height)
    if box[2:] != wanted:
        return [f"piece “{piece.name}” has the wrong size."]
    return []


def _leftovers(asked: _Job, kept: list[Record], ends: Counter[Box]) -> list[str]:
    text = []
    for row in kept:
        box = _box(asked, row)
        if not ends[box]:
            text.append(f"leftover at {row['x']} is no free part.")
        ends[box] -= 1
        if not _is_kept(asked, box):
            text.append(f"leftover at {row['x']} is too small to be kept.")
    if any(count > 0 and _is_kept(asked, box) for box, count in ends.items()):
        text.append("a part worth keeping is not listed.")
    return text


def _is_kept(asked: _Job, box: Box) -> bool:
    if asked.leftover is None:
        return False
    if asked.flat:
        return box[2] >= asked.leftover[0]
    return min(box[2:]) >= min(asked.leftover) and max(box[2:]) >= max(asked.leftover)


def _counts(asked: _Job, answer: Record) -> list[str]:
    placed = Counter(
        row["name"] for sheet in answer["sheets"] for row in sheet["pieces"]
    )
    used = Counter(sheet["stock"] for sheet in answer["sheets"])
    text = [
        f"“{one.name}” is cut {placed[one.name]} times, not {one.count}."
        for one in asked.pieces
        if placed[one.name] != one.count
    ]
    text += [
        f"there are only {one.count} of “{one.name}”."
        for one in asked.stock
        if one.count is not None and used[one.name] > one.count
    ]
    cost = sum(used[stock.name] * stock.price for stock in asked.stock)
    bought = sum(used[stock.name] for stock in asked.stock if stock.price)
    if number_of(answer["cost"]) * 100 != cost:
        text.append(f"the cost is {cost} minor units, not {answer['cost']}.")
    if answer["bought"] != bought or answer["used"] != len(answer["sheets"]):
        text.append("the numbers of sheets do not add up.")
    return text


def _bounds(asked: _Job, answer: Record) -> list[str]:
    """Compare what is claimed with what the certificate proves."""
    claim = answer["lower_bound"]
    cost = number_of(answer["cost"]) * 100
    claimed = number_of(claim["cost"]) * 100
    counting = len(asked.stock) == 1 and asked.stock[0].count is None
    text = []
    met = claim["sheets"] == answer["used"] if counting else claimed == cost
    if bool(answer["proven"]) != met:
        text.append("“proven” does not say what bound and plan say.")
    if claimed > cost or (counting and claim["sheets"] > answer["used"]):
        text.append("the bound is above the plan.")
    proof = bound_of(job=asked, certificate=answer["certificate"])
    if proof is None:
        return text
    proved_cost, proved_sheets = proof
    if claimed > proved_cost:
        text.append(f"the certificate proves {proved_cost} minor units, not {claimed}.")
    if counting and claim["sheets"] > proved_sheets:
        text.append(f"the certificate proves {proved_sheets} sheets only.")
    return text


def bound_of(*, job: _Job, certificate: Record) -> tuple[int, int] | None:
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


def _dff_bound(job: _Job, functions: list[Any]) -> int:
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


def _price_bound(job: _Job, certificate: Record) -> tuple[int, int]:
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


def best_pattern(job: _Job, stock: _Stock, prices: Mapping[str, int]) -> int:
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
