"""Rolls: membrane in strips with laps and turn-ups, along or across each area.

An area is covered by strips side by side, each lapping the one before. Whether they
run along or across decides how much the last, narrower strip and the laps waste; both
are tried for every area, together with how the strips are cut from whole rolls.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product

from materials.core.cutting.records import (
    QUICK,
    Budget,
    CutPlan,
    DoesNotFit,
    Piece,
    Rules,
    Stock,
)
from materials.core.cutting.sheets import plan_sheets
from materials.core.errors import OutOfRange

ALONG = "along"
ACROSS = "across"

MOST_TOGETHER = 6
"""Areas whose directions are tried in all combinations; more are decided singly."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Roll:
    """A roll as it is sold."""

    name: str
    width: int
    length: int
    price: int = 0
    count: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class RollArea:
    """A rectangle to cover: `width` by `length`, turned up at its sides.

    `up_width` is what both turn-ups at the ends of the width add together, `up_length`
    the same for the length.
    """

    name: str
    width: int
    length: int
    up_width: int = 0
    up_length: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Laps:
    """How far strips lap: beside each other, and end to end when one is pieced."""

    side: int
    end: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Strip:
    """A strip of an area: how long, how wide, how far in from the first edge."""

    area: str
    name: str
    width: int
    length: int
    offset: int


@dataclass(frozen=True, slots=True, kw_only=True)
class RollPlan:
    """The direction of every area, its strips, and how the rolls are cut.

    `run` is the length of roll when every strip takes the full width.
    """

    directions: tuple[tuple[str, str], ...]
    strips: tuple[Strip, ...]
    run: int
    plan: CutPlan


def strip_count(across: int, *, roll: int, lap: int) -> int:
    """Return how many strips lie side by side over a width.

    Rounds: up. Raises: OutOfRange when the lap takes the whole roll.

    >>> strip_count(2_400, roll=1_000, lap=50), strip_count(3_000, roll=1_000, lap=50)
    (3, 4)
    """
    if lap >= roll:
        raise OutOfRange("The lap is as wide as the roll; check both.", field="laps")
    return max(1, -(-(across - lap) // (roll - lap)))


def strips_of(area: RollArea, roll: Roll, laps: Laps, direction: str) -> list[Strip]:
    """Return the strips of an area in one direction, `along` its length or `across`.

    A strip longer than the roll is pieced from the roll's length on, each piece
    lapping the one before by the end lap. The last strip is as wide as it has to be.
    """
    width, length = area.width + area.up_width, area.length + area.up_length
    if direction == ACROSS:
        width, length = length, width
    count = strip_count(width, roll=roll.width, lap=laps.side)
    step = roll.width - laps.side
    strips = []
    for at in range(count):
        wide = min(roll.width, width - at * step)
        for number, long in enumerate(_pieced(length, roll.length, laps.end), 1):
            strips.append(
                Strip(
                    area=area.name,
                    name=f"{area.name} {at + 1}.{number}",
                    width=wide,
                    length=long,
                    offset=at * step,
                )
            )
    return strips


def _pieced(length: int, most: int, lap: int) -> list[int]:
    if length <= most:
        return [length]
    if lap >= most:
        raise OutOfRange(
            "The end lap is as long as the roll; check both.", field="laps"
        )
    pieces = [most]
    left = length - most
    while left > 0:
        piece = min(most, left + lap)
        pieces.append(piece)
        left -= piece - lap
    return pieces


def run_length(strips: list[Strip]) -> int:
    """Return the length of roll that strips take at full width."""
    return sum(strip.length for strip in strips)


def plan_rolls(
    areas: list[RollArea],
    roll: Roll,
    laps: Laps,
    *,
    kept: Sequence[Stock] = (),
    seed: int = 0,
    budget: Budget = QUICK,
) -> RollPlan:
    """Return the direction of every area and how its strips are cut from rolls.

    Narrow last strips may share a width of roll. Least money first, then fewest rolls,
    then the shortest run. `kept` are rests of rolls that may be used up.

    Units: all lengths in one whole unit.
    Raises: OutOfRange for laps as large as the roll and for areas without a size.
    Method: all combinations of directions for few areas, the shorter run for each
    one singly beyond; every combination is cut as sheets are.
    """
    _check_areas(areas)
    choices = [
        {way: strips_of(area, roll, laps, way) for way in (ALONG, ACROSS)}
        for area in areas
    ]
    combined = _combined(choices)
    best: RollPlan | None = None
    each = Budget(
        work=max(budget.work // len(combined), 4_000),
        rounds=budget.rounds if len(combined) == 1 else 0,
        nodes=budget.nodes,
        milliseconds_left=budget.milliseconds_left,
    )
    for ways in combined:
        pairs = zip(choices, ways, strict=True)
        strips = [strip for choice, way in pairs for strip in choice[way]]
        named = zip([area.name for area in areas], ways, strict=True)
        found = RollPlan(
            directions=tuple(named),
            strips=tuple(strips),
            run=run_length(strips),
            plan=_cut(strips, [_stock_of(roll), *kept], seed, each),
        )
        if best is None or _worth(found) < _worth(best):
            best = found
        if best.plan.used == 1 and not kept:
            break
    if best is None:  # pragma: no cover - there is at least one combination
        raise AssertionError
    return best


def _check_areas(areas: list[RollArea]) -> None:
    for area in areas:
        if area.width <= 0 or area.length <= 0:
            raise OutOfRange(
                f"“{area.name}” needs a width and a length above zero.", field="areas"
            )
    if not areas:
        raise DoesNotFit("There is no area to cover; add one.", field="areas")


def _combined(choices: list[dict[str, list[Strip]]]) -> list[tuple[str, ...]]:
    """Return the directions to try, the shortest run first."""
    found: list[tuple[str, ...]]
    if len(choices) <= MOST_TOGETHER:
        found = list(product((ALONG, ACROSS), repeat=len(choices)))
    else:
        found = [tuple(min(ways, key=lambda k: _run(ways, k)) for ways in choices)]
    return sorted(
        found,
        key=lambda ways: sum(
            _run(choice, way) for choice, way in zip(choices, ways, strict=True)
        ),
    )


def _run(ways: dict[str, list[Strip]], way: str) -> int:
    return run_length(ways[way])


def _worth(plan: RollPlan) -> tuple[int, int, int]:
    return plan.plan.cost, plan.plan.used, plan.run


def _stock_of(roll: Roll) -> Stock:
    return Stock(
        name=roll.name,
        width=roll.width,
        height=roll.length,
        price=roll.price,
        count=roll.count,
    )


def _cut(strips: list[Strip], stock: list[Stock], seed: int, budget: Budget) -> CutPlan:
    return plan_sheets(
        [
            Piece(name=strip.name, width=strip.width, height=strip.length, turn=False)
            for strip in strips
        ],
        stock,
        Rules(),
        seed=seed,
        budget=budget,
    )
