"""What a search for a set-out is given: surfaces, the tile, and how hard to look."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from itertools import product

from materials.core.quantities import half_up
from quotes.core.geometry import Number, TickPoint, turned
from quotes.core.layout.records import Rules, SetOut, Surface
from quotes.core.pattern import Lattice


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """Surfaces that take one tile, and how hard to look.

    `grain` is the step origins are rounded to, in ticks, so that a printed origin
    reads back to the same one; 0 keeps whole ticks. `tries` is how many set-outs of
    each surface are measured exactly; `grid` how many steps a cell is divided in.
    """

    surfaces: tuple[Surface, ...]
    lattice: Lattice
    rules: Rules
    angle: Fraction = Fraction(0)
    grain: Fraction = Fraction(0)
    tries: int = 128
    grid: int = 32

    def set_out(self, origin: TickPoint) -> SetOut:
        """Return a set-out at this task's angle."""
        return SetOut(origin=origin, angle=self.angle)


def grained(point: Iterable[Number], grain: Fraction) -> TickPoint:
    """Return an origin in whole ticks that a printed figure can name."""
    x, y = (_on_grain(Fraction(value), grain) for value in point)
    return x, y


def _on_grain(value: Fraction, grain: Fraction) -> int:
    return int(half_up(half_up(value, grain) if grain else value))


def middle_set_outs(
    task: Task, surface: Surface
) -> list[tuple[tuple[int, int], SetOut]]:
    """Return the four set-outs, tile (0) or joint (1) in the middle, x then y."""
    across = [x for x, _ in surface.outer]
    up = [y for _, y in surface.outer]
    middle = ((min(across) + max(across)) / 2, (min(up) + max(up)) / 2)
    lattice = task.lattice
    found = []
    for choice in product((0, 1), (0, 1)):
        own = (
            lattice.middle[0] + choice[0] * lattice.pitch[0] / 2,
            lattice.middle[1] + choice[1] * lattice.pitch[1] / 2,
        )
        x, y = turned(own, task.angle)
        origin = grained((middle[0] - x, middle[1] - y), task.grain)
        found.append((choice, task.set_out(origin)))
    return found
