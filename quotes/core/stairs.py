"""A flight of stairs before tile: how thick each tread's bed must be for equal risers.

Tile lifts every tread alike, but the bottom floor and the landing by something else, so
the first and the last riser come out different. Where there is room, beds of different
thickness make all risers equal again; where a tread is too high for that, they are made
as equal as can be.

Levels are counted from the rough bottom floor. Each finished level must clear its
rough one by tile and least bed; bottom and landing are given. Of all level lines that
do, the taut one over the high treads has both the lowest largest and the highest
smallest riser.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import accumulate, pairwise

from materials.core.errors import OutOfRange
from materials.core.lengths import NOTHING, Length
from materials.core.quantities import half_up
from materials.core.sources import Source

LIMIT = Length.mm("9.525")
"""3/8 in, the most by which risers of a flight may differ, until a local rule says."""

LIMIT_SOURCE = Source(
    title="International Building Code, treads and risers of uniform size",
    place="3/8 in (9.5 mm) in any flight; 1009.3.1 (2009), 1009.7.4 (2012)",
)
MOST_RISERS = 40


@dataclass(frozen=True, slots=True, kw_only=True)
class Flight:
    """A flight as measured, and what is laid on it.

    `risers` are the rough rises from the bottom floor to the landing. `bottom` and
    `landing` are what is laid there, tile with bed; `tile` is the tread tile alone,
    `bed` the least bed under it, `riser` tile and bed on a riser's face. `going` is
    from riser face to riser face, `nosing` how far a tread stands over the riser tile
    below. `tread_first`: riser tiles stand on the treads, else they run down behind.
    """

    risers: tuple[Length, ...]
    bottom: Length
    landing: Length
    tile: Length
    bed: Length
    riser: Length
    going: Length
    nosing: Length = NOTHING
    tread_first: bool = True
    limit: Length = LIMIT


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One riser with the tread above it; the last has none, it leads to the landing.

    `plain` is the finished riser with the least bed everywhere, `finished` with the
    beds of `bed`; `riser_piece` and `tread_piece` are what is cut from tile.
    """

    number: int
    rough: Length
    plain: Length
    finished: Length
    riser_piece: Length
    bed: Length | None
    tread_piece: Length | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Stairs:
    """The steps of a flight, and by how much their risers differ.

    `difference` is that of the finished risers, `plain_difference` with the least bed
    everywhere; `is_even` that the largest difference keeps the limit.
    """

    steps: tuple[Step, ...]
    difference: Length
    plain_difference: Length
    limit: Length

    @property
    def is_even(self) -> bool:
        """Whether the risers keep the limit."""
        return self.difference <= self.limit


def set_out_stairs(flight: Flight) -> Stairs:
    """Return the beds that make the risers of a flight as equal as can be.

    Rounds: levels to a tick, halves up.
    Raises: OutOfRange for a flight that is none, or tile thicker than a riser.
    """
    _check(flight)
    rough = [0, *accumulate(riser.ticks for riser in flight.risers)]
    lift = (flight.tile + flight.bed).ticks
    least = [level + lift for level in rough]
    least[0], least[-1] = flight.bottom.ticks, rough[-1] + flight.landing.ticks
    levels = taut(least)
    risers = [high - low for low, high in pairwise(levels)]
    plain = [high - low for low, high in pairwise(least)]
    if min(risers) <= flight.tile.ticks:
        raise OutOfRange(
            "A riser would be no higher than the tile; check the rises and what is "
            "laid at the bottom and on the landing.",
            field="risers",
        )
    return Stairs(
        steps=tuple(
            _step(flight, at, (plain[at], risers[at]), levels[at + 1] - rough[at + 1])
            for at in range(len(risers))
        ),
        difference=Length(max(risers) - min(risers)),
        plain_difference=Length(max(plain) - min(plain)),
        limit=flight.limit,
    )


def taut(least: Sequence[int]) -> list[int]:
    """Return the levels of a taut line over the least ones, its ends held.

    Method: the upper convex hull of the points, read off at every step.
    """
    hull: list[tuple[int, int]] = []
    for point in enumerate(least):
        while len(hull) > 1 and _is_below(hull[-2], hull[-1], point):
            hull.pop()
        hull.append(point)
    levels = []
    for (left, low), (right, high) in pairwise(hull):
        levels += [
            low + int(half_up(Fraction((high - low) * (at - left), right - left)))
            for at in range(left, right)
        ]
    return [*levels, hull[-1][1]]


def _is_below(
    first: tuple[int, int], middle: tuple[int, int], last: tuple[int, int]
) -> bool:
    """Return whether the middle point lies on or below the line of the others."""
    rise, run = last[1] - first[1], last[0] - first[0]
    return (middle[1] - first[1]) * run <= rise * (middle[0] - first[0])


def _step(flight: Flight, at: int, heights: tuple[int, int], built: int) -> Step:
    plain, finished = heights
    is_last = at == len(flight.risers) - 1
    covered = flight.tile.ticks if not is_last or flight.landing.ticks else 0
    piece = finished - covered
    going = flight.going + flight.nosing
    if flight.tread_first:
        going += flight.riser
    return Step(
        number=at + 1,
        rough=flight.risers[at],
        plain=Length(plain),
        finished=Length(finished),
        riser_piece=Length(piece),
        bed=None if is_last else Length(built - flight.tile.ticks),
        tread_piece=None if is_last else going,
    )


def _check(flight: Flight) -> None:
    if not 1 < len(flight.risers) <= MOST_RISERS:
        raise OutOfRange(
            f"Give the rises of a flight one after another, from 2 to {MOST_RISERS}.",
            field="risers",
        )
    for index, riser in enumerate(flight.risers):
        if riser.ticks <= 0:
            raise OutOfRange(
                f"Rise {index + 1} is nought; read it again.", field="risers"
            )
    for name in ("tile", "going"):
        if getattr(flight, name).ticks <= 0:
            raise OutOfRange("Enter more than 0.", field=name)
