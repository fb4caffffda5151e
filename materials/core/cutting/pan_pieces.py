"""One pan laid over a part of the floor: what is cut off, which sides, what money."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from moneyed import Money

from materials.core import amounts
from materials.core.cutting.pan_heights import Frame
from materials.core.cutting.pan_outlines import (
    Point,
    Region,
    Ring,
    outer_rings,
    region_area,
    sides,
)
from materials.core.cutting.pan_records import (
    DRAIN_EDGE,
    FAR_EDGE,
    LEFT_EDGE,
    PAN_SIDES,
    RIGHT_EDGE,
    Pan,
    PanPiece,
    Trim,
)
from materials.core.lengths import Length

Leftover = tuple[Length, Length] | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Lay:
    """A pan put over a part of the floor, in the pan's own frame.

    `frame` maps the pan's frame (x along its drain edge, y uphill, corner at 0, 0) to
    the recess; `keep` is the part to keep, in the pan's frame.
    """

    pan: Pan
    frame: Frame
    keep: Region

    @property
    def trims(self) -> tuple[Trim, ...]:
        """The sides that are cut, with the most that comes off at each."""
        found: dict[str, Fraction] = {}
        width, depth = self.pan.width.ticks, self.pan.depth.ticks
        for ring in outer_rings(self.keep):
            for a, b in sides(ring):
                cut = _cut(a, b, width, depth)
                if cut is not None:
                    side, amount = cut
                    found[side] = max(amount, found.get(side, Fraction(0)))
        return tuple(
            Trim(side=side, amount=found[side]) for side in PAN_SIDES if side in found
        )

    @property
    def forbidden_sides(self) -> tuple[str, ...]:
        """The sides that would be cut though the pan's maker forbids it.

        The flat strip is made to be cut away, so its own depth is always free.
        """
        free = {DRAIN_EDGE: self.pan.strip.ticks}
        return tuple(
            trim.side
            for trim in self.trims
            if trim.side not in self.pan.trim and trim.amount > free.get(trim.side, 0)
        )


def _cut(a: Point, b: Point, width: int, depth: int) -> tuple[str, Fraction] | None:
    """Return the side of the pan that a bit of border is cut from, and how much.

    A border that runs along the pan's own edge is no cut. A slanting border counts
    for the side it faces most.
    """
    dx, dy = Fraction(b[0] - a[0]), Fraction(b[1] - a[1])
    if abs(dy) >= abs(dx):
        if dy > 0:
            return _part(RIGHT_EDGE, width - a[0], width - b[0])
        return _part(LEFT_EDGE, a[0], b[0])
    if dx > 0:
        return _part(DRAIN_EDGE, a[1], b[1])
    return _part(FAR_EDGE, depth - a[1], depth - b[1])


def _part(
    side: str, first: Fraction | int, second: Fraction | int
) -> tuple[str, Fraction] | None:
    return (side, Fraction(max(first, second))) if first or second else None


def piece_of(lay: Lay, *, leftover: Leftover) -> PanPiece:
    """Return the piece a lay gives, with its areas and its money.

    Rounds: trimmed money half up to the minor unit, and so the rack's share; what is
    thrown away is the one less the other.
    """
    pan = lay.pan
    whole = Fraction(pan.width.ticks * pan.depth.ticks)
    keep = lay.frame.outside_region(lay.keep)
    used = region_area(keep)
    trimmed = whole - used
    racked = _racked(lay, leftover)
    rack_money = amounts.percent_of(pan.price, racked / whole)
    lost = amounts.percent_of(pan.price, trimmed / whole)
    corners = pan_corners(lay)
    ys = [Fraction(point[1]) for ring in lay.keep for point in ring]
    strip = Fraction(pan.strip.ticks)
    turn = lay.frame.turn
    return PanPiece(
        pan=pan,
        turn=turn,
        at=corners[(4 - turn // 90) % 4],
        corners=corners,
        keep=keep,
        keep_on_pan=lay.keep,
        used=used,
        trimmed=trimmed,
        racked=racked,
        trimmed_money=_less(lost, rack_money),
        rack_money=rack_money,
        slice_from=max(Fraction(0), min(ys) - strip),
        slice_to=max(Fraction(0), max(ys) - strip),
        trims=lay.trims,
    )


def _less(amount: Money, part: Money) -> Money:
    code = amount.currency.code
    return amounts.from_units(amounts.to_units(amount) - amounts.to_units(part), code)


def pan_corners(lay: Lay) -> Ring:
    """Return the pan's four corners in the recess, from its own lower left."""
    width, depth = lay.pan.width.ticks, lay.pan.depth.ticks
    return tuple(
        lay.frame.outside(point)
        for point in ((0, 0), (width, 0), (width, depth), (0, depth))
    )


def _racked(lay: Lay, leftover: Leftover) -> Fraction:
    """Return the area of the straight offcuts that are large enough to keep.

    Method: the kept part's bounding rectangle leaves four strips; either the two
    across or the two along run the whole pan, whichever keeps more.
    """
    if leftover is None:
        return Fraction(0)
    width, depth = Fraction(lay.pan.width.ticks), Fraction(lay.pan.depth.ticks)
    xs = [Fraction(point[0]) for ring in lay.keep for point in ring]
    ys = [Fraction(point[1]) for ring in lay.keep for point in ring]
    wide, tall = max(xs) - min(xs), max(ys) - min(ys)
    beside = (min(xs), width - max(xs))
    below = (min(ys), depth - max(ys))
    across = [(width, one) for one in below] + [(one, tall) for one in beside]
    along = [(wide, one) for one in below] + [(one, depth) for one in beside]
    small, large = sorted(one.ticks for one in leftover)
    return max(
        sum(
            (w * d for w, d in strips if min(w, d) >= small and max(w, d) >= large),
            Fraction(0),
        )
        for strips in (across, along)
    )
