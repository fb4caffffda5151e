"""Bands over corners and seams, unrolled from a mix of rolls and joined by laps."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from materials.core.cutting.records import (
    Certificate,
    Cut,
    CutPlan,
    CutSheet,
    LowerBound,
    Placed,
)
from materials.core.need import PackFacts, RackPiece
from materials.core.packaging import PackCount, cheapest_packs
from materials.core.plans.racked import (
    as_lengths,
    kept_sizes,
    kept_verdict,
    unused_verdict,
)
from materials.core.plans.records import BAND, MaterialPlan, StockSize
from materials.core.working import count_text

MOST_RUNS = 2_000
MOST_RESTS = 12
"""Rests of band that are tried; more would not be joined, but thrown away."""
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
    runs: Sequence[Run],
    packs: Sequence[PackFacts],
    *,
    lap: int,
    ticks: int,
    rack: Sequence[RackPiece] = (),
) -> BandPlan | None:
    """Return which rolls to buy and how the runs are cut from them.

    A band may be joined anywhere by a lap, so rolls are unrolled one after the other;
    only the laps where one ends and the next begins are lost. Rests of band on the
    rack are unrolled first, the longest before the others, as many as make it cheaper:
    each counts its share of the price of new band.

    Units: runs and lap in ticks; packs hold metres of so many `ticks` each.
    Method: the cheapest mix for the plain length is unrolled; where laps make it fall
    short a lap more is bought for. Proven when the first mix does and no rest is used:
    no mix that holds the plain length costs less.
    """
    rows = sorted(runs, key=lambda run: (-run.length, run.place))
    if not rows or not packs or len(rows) > MOST_RUNS:
        return None
    job = _Job(runs=tuple(rows), packs=tuple(packs), lap=lap, ticks=ticks)
    rests = sorted(as_lengths(rack), key=lambda one: (-one.width.ticks, one.key))
    found = [_planned(job, rests[:most]) for most in range(len(rests[:MOST_RESTS]) + 1)]
    plans = [plan for plan in found if plan is not None]
    best = min(
        plans, key=lambda plan: (plan.plan.cut.cost, plan.plan.cut.used), default=None
    )
    if best is None or best.plan.taken or not rests:
        return best
    # Not every choice of rests was tried, so that nothing is proved.
    cut = replace(best.plan.cut, proven=False)
    verdict = unused_verdict(cut, "roll")
    return replace(best, plan=replace(best.plan, cut=cut, verdict=verdict))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Job:
    """What is banded, the rolls there are, the lap, and the ticks of a metre."""

    runs: tuple[Run, ...]
    packs: tuple[PackFacts, ...]
    lap: int
    ticks: int

    @property
    def plain(self) -> int:
        """The length of all runs."""
        return sum(run.length for run in self.runs)

    def worth(self, rest: RackPiece) -> int:
        """Return what a rest counts, by the pack that is cheapest for its length."""
        price = min(Fraction(pack.price) / pack.content for pack in self.packs)
        return int(rest.value * price * rest.width.ticks / self.ticks)


def _planned(job: _Job, rests: Sequence[RackPiece]) -> BandPlan | None:
    """Return the plan that uses these rests, or None where one of them is not needed.

    None as well where laps outlast every mix.
    """
    found = _bought(job, rests)
    if found is None:
        return None
    choice, sheets = found
    used = {sheet.stock for sheet in sheets}
    if any(rest.key not in used for rest in rests):
        return None
    least = 0 if rests else _cost(_packs(job, job.plain))
    cost = _cost(choice) + sum(map(job.worth, rests))
    count = len(rests) + sum(item.count for item in choice)
    numbered = {name: n for n, name in enumerate(_names(sheets), start=1)}
    keys = [item.pack.key for item in choice]
    cut = CutPlan(
        sheets=tuple(sheets),
        bought=count - len(rests),
        used=count,
        cost=cost,
        lower_bound=LowerBound(cost=least, sheets=None),
        proven=not rests and cost == least,
        certificate=Certificate(kind="area"),
    )
    return BandPlan(
        plan=MaterialPlan(
            form=BAND,
            sizes=(*_sizes(choice, job.ticks), *kept_sizes(rests, cut)),
            cut=cut,
            numbers=numbered,
            places={name: _place(name) for name in numbered},
            verdict=_verdict(cut, len(rests)),
        ),
        rolls={item.pack.key: item.count for item in choice},
        unrolled=sum(_reach(sheet) for sheet in sheets if sheet.stock in keys),
    )


def _bought(
    job: _Job, rests: Sequence[RackPiece]
) -> tuple[tuple[PackCount, ...], list[CutSheet]] | None:
    """Return the packs beside these rests, and how all of them are unrolled."""
    opened = [(rest.key, rest.width.ticks) for rest in rests]
    want = job.plain - sum(length for _key, length in opened)
    for _turn in range(MOST_TURNS):
        packs = _packs(job, want)
        rolls = [*opened, *_opened(packs, job.ticks)]
        sheets = _unrolled(job.runs, rolls, job.lap)
        if sheets is not None:
            return packs, sheets
        want += max(job.lap, 1)
    return None


def _packs(job: _Job, length: int) -> tuple[PackCount, ...]:
    if length <= 0:
        return ()
    return cheapest_packs(Fraction(length, job.ticks), job.packs).packs


def _cost(packs: Sequence[PackCount]) -> int:
    return sum(item.price * item.count for item in packs)


def _reach(sheet: CutSheet) -> int:
    return sheet.pieces[-1].x + sheet.pieces[-1].width


def _verdict(cut: CutPlan, kept: int) -> str:
    if kept:
        return kept_verdict(cut, "roll", new=cut.used - kept)
    rolls = count_text(cut.used, "roll")
    if cut.proven:
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
