"""Membrane in strips from whole rolls: laps, turn-ups, both ways, all areas pooled.

Strips run upright or level over each area; which way is decided together with how they
are cut from rolls of the sizes that are sold.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from materials.core.cutting.records import (
    Budget,
    CutPlan,
    CutSheet,
    Piece,
    Rules,
    Stock,
)
from materials.core.cutting.rolls import (
    ACROSS,
    ALONG,
    Laps,
    Roll,
    RollArea,
    Strip,
    plan_rolls,
    strips_of,
)
from materials.core.cutting.sheets import plan_sheets
from materials.core.need import Point, RackPiece
from materials.core.outlines import rectangle
from materials.core.plans.racked import (
    kept_sizes,
    kept_stock,
    kept_verdict,
    unused_verdict,
)
from materials.core.plans.records import (
    ROLL,
    LaidPiece,
    LaidSurface,
    Line,
    MaterialPlan,
    StockSize,
)
from materials.core.plans.words import verdict

MOST_STRIPS = 200
"""Beyond this a plan would keep a page waiting; the run of all strips stands in."""

WAITING = Budget(work=60_000)

SIDES = ("left", "right", "bottom", "top")


@dataclass(frozen=True, slots=True, kw_only=True)
class Area:
    """A rectangle to cover, in ticks at its surface, and the sides it turns up at."""

    place: str
    left: int
    bottom: int
    right: int
    top: int
    turned_up: tuple[str, ...] = ()
    turn_up: int = 0
    times: int = 1

    @property
    def whole(self) -> tuple[int, int, int, int]:
        """Left, bottom, right and top with the turn-ups laid flat."""
        up = {side: self.turn_up * (side in self.turned_up) for side in SIDES}
        return (
            self.left - up["left"],
            self.bottom - up["bottom"],
            self.right + up["right"],
            self.top + up["top"],
        )

    @property
    def folds(self) -> tuple[Line, ...]:
        """The lines where the membrane turns up."""
        left, bottom, right, top = self.whole
        lines: Mapping[str, Line] = {
            "left": ((self.left, bottom), (self.left, top)),
            "right": ((self.right, bottom), (self.right, top)),
            "bottom": ((left, self.bottom), (right, self.bottom)),
            "top": ((left, self.top), (right, self.top)),
        }
        if not self.turn_up:
            return ()
        return tuple(lines[side] for side in SIDES if side in self.turned_up)


@dataclass(frozen=True, slots=True, kw_only=True)
class RollSize:
    """A roll as it is sold: its pack's key and label, its length, its price."""

    key: str
    words: str
    length: int
    price: int


@dataclass(frozen=True, slots=True, kw_only=True)
class StripPlan:
    """The plan, the rolls by pack key, and how much is unrolled, in ticks."""

    plan: MaterialPlan
    rolls: Mapping[str, int]
    unrolled: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Rolls:
    """What strips are cut from: the sizes sold, and rests of rolls on the rack.

    Units: `width` in ticks; `rack` as `as_rolls` turns it.
    """

    sizes: tuple[RollSize, ...]
    width: int
    rack: tuple[RackPiece, ...] = ()

    @property
    def longest(self) -> RollSize:
        """The longest roll: what a strip is pieced from."""
        return max(self.sizes, key=lambda size: size.length)

    @property
    def kept(self) -> list[Stock]:
        """The rests as stock, counted by the size that is cheapest for its length."""
        size = min(self.sizes, key=lambda one: Fraction(one.price, one.length))
        return kept_stock(self.rack, self.width * size.length, price=size.price)

    def roll(self, size: RollSize) -> Roll:
        """Return a size as a roll to plan with."""
        return Roll(
            name=size.key, width=self.width, length=size.length, price=size.price
        )

    def strips(
        self, rows: Sequence[RollArea], laps: Laps, ways: Mapping[str, str]
    ) -> list[Strip]:
        """Return the strips of all areas from the longest rolls."""
        roll = self.roll(self.longest)
        return [
            strip
            for row in rows
            for strip in strips_of(row, roll, laps, ways.get(row.name, ALONG))
        ]


def planned_strips(
    areas: Sequence[Area], goods: Rolls, *, lap: int
) -> StripPlan | None:
    """Return the strips of all areas cut from whole rolls, or None for far too many.

    Rests of rolls on the rack are used up where that is cheaper: each counts its share
    of the price of new roll.

    Units: ticks; prices in one whole unit. A strip longer than the longest roll is
    pieced with a lap.
    Method: for each size alone the directions that take the fewest rolls; of these
    plans, and of a mix of all sizes with the strips of the cheapest, the cheapest one.
    The bound for any direction is the area of strips over the area of a roll.
    """
    named = _named(areas)
    if not named or not goods.sizes:
        return None
    return _planned(tuple(named.items()), goods, Laps(side=lap, end=lap))


def _named(areas: Sequence[Area]) -> dict[str, Area]:
    return {
        f"{place} {area.place}, {number}": area
        for place, area in enumerate(areas, start=1)
        for number in range(1, area.times + 1)
    }


@lru_cache(maxsize=128)
def _planned(
    named: tuple[tuple[str, Area], ...], goods: Rolls, laps: Laps
) -> StripPlan | None:
    rows = [_row(name, area) for name, area in named]
    if len(goods.strips(rows, laps, {})) > MOST_STRIPS:
        return None
    cut, taken, ways = _cheapest(rows, goods, laps)
    numbers = {strip.name: number for number, strip in enumerate(taken, start=1)}
    areas = dict(named)
    plan = MaterialPlan(
        form=ROLL,
        sizes=(
            *(
                StockSize(
                    name=size.key,
                    words=size.words,
                    width=goods.width,
                    height=size.length,
                )
                for size in goods.sizes
            ),
            *kept_sizes(goods.rack, cut),
        ),
        cut=cut,
        numbers=numbers,
        places={strip.name: areas[strip.area].place for strip in taken},
        surfaces=tuple(
            _laid(areas[row.name], row, ways[row.name], taken, numbers) for row in rows
        ),
        verdict=_verdict(cut, rows, goods, laps),
    )
    keys = [size.key for size in goods.sizes]
    return StripPlan(
        plan=plan,
        rolls={key: sum(one.stock == key for one in cut.sheets) for key in keys},
        unrolled=sum(unrolled(one) for one in cut.sheets if one.stock in keys),
    )


_Found = tuple[CutPlan, tuple[Strip, ...], dict[str, str]]


def _cheapest(rows: list[RollArea], goods: Rolls, laps: Laps) -> _Found:
    """Return the cheapest plan of each size alone and of a mix of all."""
    found: list[_Found] = []
    kept = goods.kept
    for size in goods.sizes:
        one = plan_rolls(rows, goods.roll(size), laps, kept=kept, budget=WAITING)
        found.append((one.plan, one.strips, dict(one.directions)))
    if len(goods.sizes) > 1:
        ways = min(found, key=_worth)[2]
        strips = goods.strips(rows, laps, ways)
        found.append((_mixed(strips, goods), tuple(strips), ways))
    return min(found, key=_worth)


def _worth(found: _Found) -> tuple[int, int]:
    return found[0].cost, found[0].used


def unrolled(sheet: CutSheet) -> int:
    """Return how far a roll of the plan is unrolled, in ticks."""
    return max((piece.y + piece.height for piece in sheet.pieces), default=0)


def _row(name: str, area: Area) -> RollArea:
    left, bottom, right, top = area.whole
    return RollArea(name=name, width=right - left, length=top - bottom)


def _mixed(strips: Sequence[Strip], goods: Rolls) -> CutPlan:
    sold = [
        Stock(name=one.key, width=goods.width, height=one.length, price=one.price)
        for one in goods.sizes
    ]
    return plan_sheets(
        [
            Piece(name=strip.name, width=strip.width, height=strip.length, turn=False)
            for strip in strips
        ],
        [*sold, *goods.kept],
        Rules(),
        budget=WAITING,
    )


def _laid(
    area: Area,
    row: RollArea,
    way: str,
    strips: Sequence[Strip],
    numbers: Mapping[str, int],
) -> LaidSurface:
    """Return where the strips of one area lie, from its lower left on."""
    left, bottom, right, top = area.whole
    pieces = []
    reached: dict[int, int] = {}
    for strip in strips:
        if strip.area != row.name:
            continue
        # A pieced strip goes on where the piece before it ended, less the lap.
        along = reached.get(strip.offset, 0)
        end = min(along + strip.length, right - left if way == ACROSS else top - bottom)
        start = max(0, end - strip.length)
        reached[strip.offset] = end
        pieces.append(
            LaidPiece(
                number=numbers[strip.name],
                outline=_strip_ring((left, bottom), strip, way, (start, end)),
            )
        )
    return LaidSurface(
        place=area.place,
        outline=rectangle(left, bottom, right, top),
        pieces=tuple(pieces),
        folds=area.folds,
    )


def _strip_ring(
    corner: Point, strip: Strip, way: str, reach: tuple[int, int]
) -> tuple[Point, ...]:
    x, y = corner
    low, high = strip.offset, strip.offset + strip.width
    if way == ACROSS:
        return rectangle(x + reach[0], y + low, x + reach[1], y + high)
    return rectangle(x + low, y + reach[0], x + high, y + reach[1])


def _verdict(cut: CutPlan, rows: Sequence[RollArea], goods: Rolls, laps: Laps) -> str:
    """Return the proof in a sentence; with several sizes the proof is of the money."""
    kept = {piece.key for piece in goods.rack}
    new = sum(1 for sheet in cut.sheets if sheet.stock not in kept)
    if new < cut.used:
        return kept_verdict(cut, "roll", new=new)
    if kept:
        return unused_verdict(cut, "roll")
    sizes = goods.sizes
    if len(sizes) > 1 and cut.used > 1:
        if cut.proven:
            return (
                f"{cut.used} rolls; no other mix of rolls costs less for these strips."
            )
        return (
            f"{cut.used} rolls, the cheapest mix found; a cheaper one is not ruled out."
        )
    least = cut.lower_bound.sheets or 0 if len(sizes) == 1 else cut.used
    freely = sum(_least_area(row, goods, laps) for row in rows)
    whole = goods.width * goods.longest.length
    return verdict(cut.used, least, "roll", freely=max(1, -(-freely // whole)))


def _least_area(row: RollArea, goods: Rolls, laps: Laps) -> int:
    return min(
        sum(
            strip.width * strip.length
            for strip in goods.strips([row], laps, {row.name: way})
        )
        for way in (ALONG, ACROSS)
    )
