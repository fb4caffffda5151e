"""Bands over corners and seams, unrolled from a mix of rolls and joined by laps."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from materials.core.cutting.records import (
    Certificate,
    Cut,
    CutPlan,
    CutSheet,
    LowerBound,
    Placed,
)
from materials.core.need import PackFacts
from materials.core.packaging import PackCount, cheapest_packs
from materials.core.plans.records import BAND, MaterialPlan, StockSize

MOST_RUNS = 2_000
MOST_TURNS = 200
"""A lap more is bought for every turn that falls short; far fewer are ever needed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """A corner or a seam to band, in ticks, laps at its ends included."""

    place: str
    length: int


@dataclass(frozen=True, slots=True, kw_only=True)
class BandPlan:
    """The plan, the rolls by pack key, and the metres unrolled, in ticks."""

    plan: MaterialPlan
    rolls: Mapping[str, int]
    unrolled: int


def planned_bands(
    runs: Sequence[Run], packs: Sequence[PackFacts], *, lap: int, ticks: int
) -> BandPlan | None:
    """Return which rolls to buy and how the runs are cut from them.

    A band may be joined anywhere by a lap, so rolls are unrolled one after the other;
    only the laps where one ends and the next begins are lost.

    Units: runs and lap in ticks; packs hold metres of so many `ticks` each.
    Method: the cheapest mix for the plain length is unrolled; where laps make it fall
    short a lap more is bought for. Proven when the first mix does: no mix that holds
    the plain length costs less.
    """
    rows = sorted(runs, key=lambda run: (-run.length, run.place))
    if not rows or not packs or len(rows) > MOST_RUNS:
        return None
    plain = sum(run.length for run in rows)
    least = cheapest_packs(Fraction(plain, ticks), packs)
    choice, want = least, plain
    for _turn in range(MOST_TURNS):
        rolls = _opened(choice.packs, ticks)
        sheets = _unrolled(rows, rolls, lap)
        if sheets is not None:
            break
        want += max(lap, 1)
        choice = cheapest_packs(Fraction(want, ticks), packs)
    else:
        return None
    cost, count = choice.cost, sum(item.count for item in choice.packs)
    numbered = {name: n for n, name in enumerate(_names(sheets), start=1)}
    return BandPlan(
        plan=MaterialPlan(
            form=BAND,
            sizes=_sizes(choice.packs, ticks),
            cut=CutPlan(
                sheets=tuple(sheets),
                bought=count,
                used=count,
                cost=cost,
                lower_bound=LowerBound(cost=least.cost, sheets=None),
                proven=cost == least.cost,
                certificate=Certificate(kind="area"),
            ),
            numbers=numbered,
            places={name: _place(name) for name in numbered},
            verdict=_verdict(count, proven=cost == least.cost),
        ),
        rolls={item.pack.key: item.count for item in choice.packs},
        unrolled=sum(sheet.pieces[-1].x + sheet.pieces[-1].width for sheet in sheets),
    )


def _verdict(count: int, *, proven: bool) -> str:
    rolls = "1 roll" if count == 1 else f"{count} rolls"
    if proven:
        return f"{rolls}; nothing cheaper holds the length."
    return f"{rolls}; the laps at the ends of rolls take one more than the bare length."


def _opened(packs: Sequence[PackCount], ticks: int) -> list[tuple[str, int]]:
    """Return the rolls, longest first, as pack key and length in ticks."""
    rolls = [
        (item.pack.key, int(item.pack.content * ticks))
        for item in packs
        for _ in range(item.count)
    ]
    return sorted(rolls, key=lambda roll: -roll[1])


def _sizes(packs: Sequence[PackCount], ticks: int) -> tuple[StockSize, ...]:
    return tuple(
        StockSize(
            name=item.pack.key,
            words=item.pack.label,
            width=int(item.pack.content * ticks),
            height=1,
        )
        for item in packs
    )


def _unrolled(
    runs: Sequence[Run], rolls: Sequence[tuple[str, int]], lap: int
) -> list[CutSheet] | None:
    """Return the rolls with their pieces, or None where the runs outlast them.

    A run that fits what is left of an opened roll is taken from there; else it is
    joined. A rest no longer than the lap joins nothing and is left.
    """
    pieces: list[list[Placed]] = [[] for _ in rolls]
    left = [length for _key, length in rolls]
    for number, run in enumerate(runs, start=1):
        fits = [at for at, rest in enumerate(left) if rest >= run.length]
        if fits:
            at = min(fits, key=lambda place: (not pieces[place], left[place]))
            _take(pieces, left, rolls, at, f"{number} {run.place}", run.length)
            continue
        need, part = run.length, 1
        for at in range(len(rolls)):
            if left[at] <= lap:
                continue
            take = min(left[at], need)
            _take(pieces, left, rolls, at, f"{number}.{part} {run.place}", take)
            part += 1
            need -= take
            if not need:
                break
            need += lap
        else:
            return None
    return [
        CutSheet(stock=key, pieces=tuple(row), cuts=_cuts(row, length))
        for (key, length), row in zip(rolls, pieces, strict=True)
        if row
    ]


def _take(
    pieces: list[list[Placed]],
    left: list[int],
    rolls: Sequence[tuple[str, int]],
    at: int,
    name: str,
    length: int,
) -> None:
    start = rolls[at][1] - left[at]
    pieces[at].append(
        Placed(name=name, x=start, y=0, width=length, height=1, turned=False)
    )
    left[at] -= length


def _cuts(row: Sequence[Placed], length: int) -> tuple[Cut, ...]:
    """Return the cuts across a band: one at the end of every piece but the roll's."""
    ends = [piece.x + piece.width for piece in row]
    return tuple(
        Cut(part=2 * number, axis="x", at=end)
        for number, end in enumerate(end for end in ends if end < length)
    )


def _names(sheets: Sequence[CutSheet]) -> list[str]:
    return [piece.name for sheet in sheets for piece in sheet.pieces]


def _place(name: str) -> str:
    return name.partition(" ")[2]
