"""Replay a cutting plan with nothing but its own list of cuts, and try all plans.

Written from the description of the file command alone and apart from the planner and
its checker: a third pair of eyes for tests.
"""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from functools import cache
from itertools import combinations
from random import Random
from typing import Any

from materials.core.cutting.checker import faults
from materials.core.cutting.cut_file import answer, plan_job, read_job
from materials.core.cutting.records import Budget
from materials.core.quantities import parse_number

SHORT = Budget(work=20_000)
DEEP = Budget(work=60_000, rounds=60, nodes=100, blocks=200_000)


def planned(job: dict[str, Any], budget: Budget = SHORT) -> dict[str, Any]:
    """Plan a job given as a file would, check it twice, and return the answer."""
    import json

    read = read_job(json.dumps(job))
    told = answer(read, plan_job(read, budget=budget))
    assert faults(job, told) == []
    replayed(job, told)
    return told


def exact(value: Any) -> Fraction:
    return parse_number(value) if isinstance(value, str) else Fraction(value)


def replayed(job: dict[str, Any], told: dict[str, Any]) -> None:
    """Assert that the cuts make exactly the pieces, and that the pieces are all."""
    flat = job.get("bin") == "length"
    kerf = exact(job.get("kerf", "0"))
    made: Counter[str] = Counter()
    for sheet in told["sheets"]:
        row = next(one for one in job["stock"] if one["name"] == sheet["stock"])
        across = exact(row["length" if flat else "width"])
        up = Fraction(1) if flat else exact(row["height"])
        parts = {0: (Fraction(0), Fraction(0), across, up)}
        made_so_far = 1
        for cut in sheet["cuts"]:
            left, low, right, top = parts.pop(cut["part"])
            at = exact(cut["at"])
            if cut["axis"] == "x":
                assert left < at < right
                halves = [(left, low, at, top), (at + kerf, low, right, top)]
            else:
                assert low < at < top
                halves = [(left, low, right, at), (left, at + kerf, right, top)]
            for half in halves:
                if half[0] < half[2] and half[1] < half[3]:
                    parts[made_so_far] = half
                    made_so_far += 1
        ends = list(parts.values())
        for piece in sheet["pieces"]:
            x = exact(piece["x"])
            y = Fraction(0) if flat else exact(piece["y"])
            wide = exact(piece["length" if flat else "width"])
            high = Fraction(1) if flat else exact(piece["height"])
            ends.remove((x, y, x + wide, y + high))
            made[piece["name"]] += 1
    assert made == Counter({row["name"]: row.get("count", 1) for row in job["pieces"]})


def fewest_sheets(
    pieces: list[tuple[int, int]], sheet: tuple[int, int], *, kerf: int, turn: bool
) -> int:
    """Return the true optimum by trying every guillotine plan; tiny cases only."""
    everything = (1 << len(pieces)) - 1

    @cache
    def fits(chosen: int, width: int, height: int) -> bool:
        bits = [at for at in range(len(pieces)) if chosen >> at & 1]
        area = sum((pieces[at][0] + kerf) * (pieces[at][1] + kerf) for at in bits)
        if area > (width + kerf) * (height + kerf):
            return False
        if len(bits) == 1:
            a, b = pieces[bits[0]]
            return (a <= width and b <= height) or (turn and b <= width and a <= height)
        rest = bits[1:]
        for size in range(len(rest)):
            for more in combinations(rest, size):
                first = 1 << bits[0] | sum(1 << at for at in more)
                second = chosen & ~first
                for one, other in ((first, second), (second, first)):
                    if any(
                        fits(one, at, height) and fits(other, width - at - kerf, height)
                        for at in range(1, width - kerf)
                    ):
                        return True
                    if any(
                        fits(one, width, at) and fits(other, width, height - at - kerf)
                        for at in range(1, height - kerf)
                    ):
                        return True
        return False

    @cache
    def sheets(left: int) -> int:
        if not left:
            return 0
        lowest = left & -left
        best = len(pieces)
        part = left
        while part:
            if part & lowest and fits(part, *sheet):
                best = min(best, 1 + sheets(left & ~part))
            part = (part - 1) & left
        return best

    return sheets(everything)


Stocked = tuple[int, int, int, int | None]
"""A stock size for the trial of all plans: width, height, price, how many."""


def cheapest(
    pieces: list[tuple[int, int, bool]], stock: list[Stocked], *, kerf: int, snap: int
) -> tuple[int, int] | None:
    """Return the least cost and, at that, the fewest sheets; None when nothing does.

    Tries every list of cuts on whole numbers, waste and repeated cuts included; tiny
    cases only. A piece is width, height and whether it may be turned.
    """

    def is_piece(at: int, width: int, height: int) -> bool:
        wide, high, turn = pieces[at]
        return (wide, high) == (width, height) or (
            turn and (high, wide) == (width, height)
        )

    @cache
    def fits(chosen: int, width: int, height: int) -> bool:
        bits = [at for at in range(len(pieces)) if chosen >> at & 1]
        area = sum((pieces[at][0] + kerf) * (pieces[at][1] + kerf) for at in bits)
        if not chosen or area > (width + kerf) * (height + kerf):
            return not chosen
        if len(bits) == 1 and is_piece(bits[0], width, height):
            return True
        return any(
            parted(chosen, (at, height), (width - at - kerf, height))
            for at in places(width)
        ) or any(
            parted(chosen, (width, at), (width, height - at - kerf))
            for at in places(height)
        )

    def places(side: int) -> list[int]:
        """Where a cut may go: what it leaves is nothing or no narrower than snap."""
        return [
            at
            for at in range(max(1, snap), side)
            if side - at <= kerf or side - at - kerf >= snap
        ]

    def parted(chosen: int, near: tuple[int, int], far: tuple[int, int]) -> bool:
        if min(far) <= 0:
            return fits(chosen, *near)
        part = chosen
        while True:
            if fits(part, *near) and fits(chosen & ~part, *far):
                return True
            if not part:
                return False
            part = (part - 1) & chosen

    @cache
    def bought(left: int, there: tuple[int, ...]) -> tuple[int, int] | None:
        if not left:
            return 0, 0
        best: tuple[int, int] | None = None
        part = left
        while part:
            for at, (width, height, price, _count) in enumerate(stock):
                if part & left & -left and there[at] and fits(part, width, height):
                    rest = list(there)
                    rest[at] -= 1
                    more = bought(left & ~part, tuple(rest))
                    if more is not None:
                        sum_ = price + more[0], 1 + more[1]
                        best = sum_ if best is None else min(best, sum_)
            part = (part - 1) & left
        return best

    most = len(pieces)
    return bought(
        (1 << most) - 1, tuple(most if row[3] is None else row[3] for row in stock)
    )


def a_tiny_job(rng: Random, *, kerf: int, snap: int) -> dict[str, Any]:
    """Return a job of at most five pieces on one to three sizes of stock."""
    sizes = rng.choice([1, 1, 2, 3])
    stock = [
        {
            "name": f"s{at}",
            "width": rng.randint(3, 9),
            "height": rng.randint(3, 9),
            "price": rng.randint(0, 5),
            "count": rng.choice([None, None, 1, 2]) if at or sizes > 1 else None,
        }
        for at in range(sizes)
    ]
    return {
        "unit": "mm",
        "kerf": kerf,
        "snap": snap,
        "stock": stock,
        "pieces": [
            {
                "name": f"p{at}",
                "width": rng.randint(max(1, kerf), stock[0]["width"]),
                "height": rng.randint(max(1, kerf), stock[0]["height"]),
                "turn": rng.random() < 0.7,
            }
            for at in range(rng.randint(1, 5))
        ],
    }


def cheapest_of(job: dict[str, Any]) -> tuple[int, int] | None:
    """Return what `cheapest` says of a job as the file has it."""
    return cheapest(
        [(row["width"], row["height"], row["turn"]) for row in job["pieces"]],
        [(r["width"], r["height"], r["price"], r["count"]) for r in job["stock"]],
        kerf=job["kerf"],
        snap=job["snap"],
    )
