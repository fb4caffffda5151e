"""A first guess of tile before anything is drawn: from area, perimeter and tile size.

What is lost to cuts grows with the length of the edges and the size of the tile, and
shrinks with the area: loss = perimeter × √tile ÷ area, times and plus a constant drawn
through random rooms (`python -m bench.first_guess` measures it again). Rooms of one
size still scatter by ERROR points; so it is a guess, and the page says so. It is for
talking on the telephone: a measured part is counted.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import isqrt

from materials.core.errors import OutOfRange
from materials.core.lengths import Length
from materials.core.quantities import whole_units

BASE = Fraction(-7, 100)
SLOPE = Fraction(25, 100)
ERROR = 8
"""Points of loss by which rooms scatter about the guess, root mean square."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Guess:
    """Tiles by area alone, and between which two numbers most rooms lie.

    `loss` is the share guessed, never below nought; `fewer` and `more` are the tiles
    one ERROR to either side: two rooms of three lie between.
    """

    by_area: int
    tiles: int
    fewer: int
    more: int
    loss: Fraction


def guessed_loss(area: Fraction, perimeter: Length, side: Length) -> Fraction:
    """Return the share of tile lost to cuts, offcuts used again where they fit.

    Units: `area` in square ticks, `side` the root of the tile's area.
    """
    spread = Fraction(perimeter.ticks * side.ticks) / area
    return max(Fraction(0), BASE + SLOPE * spread)


def first_guess(
    *, length: Length, width: Length, tile_length: Length, tile_width: Length
) -> Guess:
    """Return the guess for a rectangular room.

    Rounds: tiles up; the root of the tile's area down to a tick.
    Raises: OutOfRange for a size that is nought.
    """
    for name, size in (
        ("length", length), ("width", width),
        ("tile_length", tile_length), ("tile_width", tile_width),
    ):  # fmt: skip
        if size.ticks <= 0:
            raise OutOfRange("Enter more than 0.", field=name)
    area = Fraction(length.ticks * width.ticks)
    tile = tile_length.ticks * tile_width.ticks
    perimeter = Length(2 * (length.ticks + width.ticks))
    loss = guessed_loss(area, perimeter, Length(isqrt(tile)))
    least = whole_units(area, Fraction(tile))
    off = Fraction(ERROR, 100)

    def tiles(share: Fraction) -> int:
        return max(least, whole_units(area * (1 + share), Fraction(tile)))

    return Guess(
        by_area=least,
        tiles=tiles(loss),
        fewer=tiles(max(Fraction(0), loss - off)),
        more=tiles(loss + off),
        loss=loss,
    )
