"""Replay a cutting plan with nothing but its own list of cuts, and try all plans.

Written from the description of the file command alone and apart from the planner and
its checker: a third pair of eyes for tests.
"""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from functools import cache
from itertools import combinations
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
