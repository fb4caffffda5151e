"""Pans for a linear drain: one plane that falls to the drain side.

The floor is a plane rising from the drain side. A pan is a slice of such a plane: it
may be pushed downhill, so that its thin part hangs over the drain and is cut off, until
the heights that are asked for are met. Two pans with the same fall join flush, side by
side or one above the other.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import cached_property

from materials.core.cutting.pan_floor import (
    Floor,
    box_of,
    corner_number,
    drain_frame,
    fall_text,
    is_full_width,
    parted_reason,
    shared_edges,
    side_number,
    sunk_reason,
)
from materials.core.cutting.pan_heights import Frame, Plane
from materials.core.cutting.pan_outlines import (
    Number,
    Region,
    bounds,
    outer_rings,
    sides,
    split_bounds,
    square_distance,
)
from materials.core.cutting.pan_overlay import within
from materials.core.cutting.pan_pieces import Lay
from materials.core.cutting.pan_records import (
    CORNER,
    LINEAR,
    FlatBoard,
    Pan,
    Run,
    SlopeRule,
)


class Halves:
    """A region's two halves below and above a line, exactly; built only when asked."""

    def __init__(self, region: Region, axis: int, at: Fraction) -> None:
        self._region, self._axis, self._at = region, axis, at
        self.bounds = split_bounds(region, axis, at)

    @cached_property
    def parts(self) -> tuple[Region, Region]:
        """Return the halves themselves."""
        box = box_of(self._region)
        below, above = list(box), list(box)
        below[self._axis + 2] = above[self._axis] = self._at
        return (
            within(self._region, (below[0], below[1], below[2], below[3])),
            within(self._region, (above[0], above[1], above[2], above[3])),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Tilt:
    """The floor of a linear drain, seen in the drain side's frame.

    `region` is what slopes, `drain` the drain's two ends, `full` whether the drain is
    as wide as its side, so that a pan's flat strip is cut away.
    """

    floor: Floor
    frame: Frame
    region: Region
    full: bool
    board: FlatBoard | None = None
    faults: dict[object, str | None] = field(
        default_factory=dict, compare=False, repr=False
    )
    split: dict[object, Halves] = field(default_factory=dict, compare=False, repr=False)
    """What was worked out for this floor and is asked again for other pans; how it
    splits is also asked for other boards."""

    def halves(self, axis: int, at: Fraction) -> Halves:
        """Return the floor's two halves, below and above a line, and their bounds.

        Shape: the halves themselves are worked out when they are first looked at.
        """
        key = axis, at
        if key not in self.split:
            self.split[key] = Halves(self.region, axis, at)
        return self.split[key]

    def with_board(self, board: FlatBoard | None) -> Tilt:
        """Return the same floor with another board beside it."""
        return replace(self, board=board, faults={})

    @property
    def lowest(self) -> int:
        """The least height over the drain, in ticks."""
        return self.floor.recess.lowest.ticks

    def strip_of(self, pan: Pan) -> Fraction:
        """Return how deep a flat strip stays at the drain: none when full width."""
        return Fraction(0 if self.full else pan.strip.ticks)

    def highest_joint(self) -> Fraction | None:
        """Return how far uphill the sloped floor meets a flat area at most."""
        reach = [
            Fraction(self.frame.local(point)[1])
            for flat in self.floor.flats
            for edge in shared_edges(self.floor, flat)
            for point in edge
        ]
        return max(reach, default=None)


def tilt_of(floor: Floor, *, board: FlatBoard | None = None) -> Tilt:
    """Return the floor of a linear drain in the drain side's frame."""
    frame = drain_frame(floor)
    return Tilt(
        floor=floor,
        frame=frame,
        region=frame.local_region(floor.region),
        full=is_full_width(floor),
        board=board,
    )


def tilt_reason(tilt: Tilt) -> str | None:
    """Return why no single plane can drain this floor, or None."""
    parted = parted_reason(tilt.floor)
    if parted is not None:
        return parted
    low = box_of(tilt.region)[1]
    if low < 0:
        return (
            f"part of the recess reaches {tilt.floor.words(-low)} behind the drain's "
            "line and would fall away from the drain"
        )
    return None


def rule_reason(slope: Fraction, rule: SlopeRule) -> str | None:
    """Return why a plane fall breaks the rule, or None."""
    if slope > rule.most:
        return (
            f"its fall of {fall_text(slope)} is steeper than the greatest allowed, "
            f"{fall_text(rule.most)}"
        )
    if slope < rule.least and rule.run != CORNER:
        return (
            f"its fall of {fall_text(slope)} is less than the least allowed, "
            f"{fall_text(rule.least)}"
        )
    return None


def corner_reason(valley: Run, rule: SlopeRule) -> str | None:
    """Return why the fall to the farthest corner breaks the rule, or None."""
    if rule.run != CORNER or valley.falls_at_least(rule.least):
        return None
    return (
        f"its fall of {fall_text(valley.slope)} to the farthest corner is less than "
        f"the least allowed, {fall_text(rule.least)}"
    )


def wall_run(tilt: Tilt, plane: Plane) -> Run:
    """Return the longest straight run to a wall and its fall."""
    borders = [side for ring in tilt.region for side in sides(ring)]
    far = max(
        borders, key=lambda one: (max(one[0][1], one[1][1]), one[0][1] + one[1][1])
    )
    top = max(far, key=lambda point: point[1])
    start, end = (tilt.frame.outside(point) for point in far)
    return Run(
        to="wall",
        index=side_number(tilt.floor, (start, end)),
        at=tilt.frame.outside(top),
        square=Fraction(top[1] - plane.start) ** 2,
        rise=plane.at_local(top[1]) - plane.base,
    )


def valley_run(tilt: Tilt, plane: Plane) -> Run:
    """Return the run from the drain to the farthest corner and its fall.

    The run starts where the slope begins.
    """
    ends = [tilt.frame.local(point) for point in tilt.floor.drain_points]
    line = ((ends[0][0], plane.start), (ends[1][0], plane.start))
    corners = [
        (square_distance(point, line), point)
        for ring in tilt.region
        for point in ring
        if point[1] >= plane.start
    ]
    far, corner = max(corners, default=(Fraction(0), ends[0]))
    return Run(
        to="corner",
        index=corner_number(tilt.floor, tilt.frame.outside(corner)),
        at=tilt.frame.outside(corner),
        square=far,
        rise=plane.at_local(corner[1]) - plane.base,
    )


def bases(
    tilt: Tilt, pan: Pan, *, low: Fraction, high: Fraction
) -> tuple[Fraction, ...]:
    """Return the heights worth trying where the slope begins, best first.

    With a board: level with it where the floor meets it, as near as the pan allows.
    Then the lowest that clears the drain, then the one that uses the pan up to its
    far edge. A kept strip leaves no choice: the slope begins at the pan's thin edge.

    Shape: `low` and `high` are the least and greatest height the pans allow.
    """
    if tilt.strip_of(pan):
        return (Fraction(pan.thin.ticks),)
    found = [low, high]
    joint = tilt.highest_joint()
    if tilt.board is not None and joint is not None:
        match = tilt.board.thickness.ticks - pan.slope * joint
        found.insert(0, max(low, min(high, match)))
    return tuple(dict.fromkeys(base for base in found if base >= low))


def plane_of(tilt: Tilt, pan: Pan, base: Fraction) -> Plane:
    """Return the floor's plane when a pan begins its slope at a height."""
    start = tilt.strip_of(pan)
    drop = pan.strip_drop.ticks if start else 0
    return Plane(
        frame=tilt.frame,
        base=base,
        slope=pan.slope,
        start=start,
        strip_height=base - drop,
    )


def lay_over(
    tilt: Tilt, pan: Pan, plane: Plane, part: Region, *, right_first: bool = False
) -> Lay | str:
    """Return a pan laid over a part of the floor on a given plane, or why not.

    The pan's place along the fall follows from the plane; across it lies where its
    own drain place says, else flush left, else flush right (or the other way round).
    """
    reason = cover_reason(tilt, pan, plane, bounds(part))
    if reason is not None:
        return reason
    left, _, right, _ = box_of(part)
    bottom = _bottom(pan, plane)
    forbidden: tuple[str, ...] = ()
    places = _places(tilt, pan, left, right)
    for x in reversed(places) if right_first else places:
        if x > left or x + pan.width.ticks < right:
            return "with its drain place on the drain it does not reach both side walls"
        frame = Frame(origin=tilt.frame.outside((x, bottom)), along=tilt.frame.along)
        lay = Lay(pan=pan, frame=frame, keep=_moved(part, x, bottom))
        forbidden = lay.forbidden_sides
        if not forbidden:
            return lay
    return forbidden_reason(forbidden)


def forbidden_reason(forbidden: tuple[str, ...]) -> str:
    """Return the sentence for sides that would be cut but may not be."""
    names = " and ".join(f"its {side} side" for side in forbidden)
    return f"{names} would have to be cut, and may not be trimmed"


def _bottom(pan: Pan, plane: Plane) -> Fraction:
    """Return where the pan's drain edge lies, uphill of the drain side."""
    strip = Fraction(pan.strip.ticks)
    return plane.start + (pan.thin.ticks - plane.base) / pan.slope - strip


def cover_reason(
    tilt: Tilt, pan: Pan, plane: Plane, box: tuple[Number, Number, Number, Number]
) -> str | None:
    """Return why a pan on a plane cannot reach over a part of the floor, or None.

    Shape: `box` is the part's bounds in the drain side's frame.
    """
    words = tilt.floor.words
    left, low, right, high = box
    if right - left > pan.width.ticks:
        return (
            f"it is {words(pan.width.ticks)} wide and {words(right - left)} is needed"
        )
    need = high - max(low, plane.start)
    if need > pan.sloping.ticks:
        return (
            f"its slope is {words(pan.sloping.ticks)} deep and {words(need)} is needed"
        )
    bottom = _bottom(pan, plane)
    end = bottom + pan.depth.ticks
    if high > end:
        return (
            f"begun {words(plane.base)} high it ends {words(end)} from the drain side, "
            f"and {words(high)} is needed"
        )
    foot = bottom if not tilt.full and low < plane.start else bottom + pan.strip.ticks
    if foot > low:
        return (
            f"it is {words(pan.thin.ticks)} at its thinnest and the floor is "
            f"{words(plane.at_local(low))} high there"
        )
    return None


def _places(
    tilt: Tilt, pan: Pan, left: Fraction, right: Fraction
) -> tuple[Fraction, ...]:
    """Return where the pan's left end may lie along the drain side, best first."""
    if pan.drain_at is not None:
        ends = [tilt.frame.local(point)[0] for point in tilt.floor.drain_points]
        return (Fraction(ends[0] + ends[1]) / 2 - pan.drain_at[0].ticks,)
    return tuple(dict.fromkeys((left, right - pan.width.ticks)))


def _moved(region: Region, x: Fraction, y: Fraction) -> Region:
    return tuple(
        tuple((point[0] - x, point[1] - y) for point in ring) for ring in region
    )


def pan_reason(tilt: Tilt, pan: Pan, rule: SlopeRule) -> str | None:
    """Return why a pan cannot serve this drain however it is slid, or None."""
    if pan.kind != LINEAR:
        return "it is made for a point drain, and the drain is linear"
    if pan.sloping.ticks <= 0 or pan.thick <= pan.thin:
        return "it does not fall; check its thin and thick edge and its strip"
    return rule_reason(pan.slope, rule)


def clear_reason(tilt: Tilt, plane: Plane) -> str | None:
    """Return why the edge over the drain is too low, or None."""
    edge = plane.at_local(0)
    if edge >= tilt.lowest:
        return None
    kept = " with its flat strip kept" if plane.start else ""
    return (
        f"its edge over the drain is {tilt.floor.words(edge)}{kept} and the drain "
        f"needs {tilt.floor.words(tilt.lowest)}"
    )


def fault_of(tilt: Tilt, plane: Plane, rule: SlopeRule) -> str | None:
    """Return why a plane does not do, wherever the pan is slid, or None."""
    key = plane.base, plane.slope, plane.start, plane.strip_height, rule
    if key not in tilt.faults:
        tilt.faults[key] = (
            clear_reason(tilt, plane)
            or corner_reason(valley_run(tilt, plane), rule)
            or sunk_reason(tilt.floor, plane, tilt.board)
        )
    return tilt.faults[key]


def one_lay(tilt: Tilt, pan: Pan, rule: SlopeRule) -> tuple[Plane, Lay] | str:
    """Return the best slice of one pan that covers the floor, or why none does."""
    reason = pan_reason(tilt, pan, rule)
    if reason is not None:
        return reason
    _, _, _, high = box_of(tilt.region)
    start = tilt.strip_of(pan)
    if high <= start:
        return "its flat strip alone covers the floor, which then has no fall"
    first: str | None = None
    low = Fraction(max(pan.thin.ticks, tilt.lowest))
    top = pan.thick.ticks - pan.slope * (high - start)
    for base in bases(tilt, pan, low=low, high=top):
        plane = plane_of(tilt, pan, base)
        lay = fault_of(tilt, plane, rule) or lay_over(tilt, pan, plane, tilt.region)
        if isinstance(lay, Lay):
            return plane, lay
        first = first or lay
    return first or "it does not reach"


def gathering_walls(tilt: Tilt, plane: Plane) -> Iterator[str]:
    """Yield a caution for each wall at which water gathers away from the drain."""
    for ring in outer_rings(tilt.region):
        for a, b in sides(ring):
            if a[1] == b[1] and b[0] > a[0] and a[1] > plane.start:
                yield (
                    "Water gathers along a level wall "
                    f"{tilt.floor.words(Fraction(a[1]))} from the drain side; "
                    "give it a cross fall or move the drain."
                )
