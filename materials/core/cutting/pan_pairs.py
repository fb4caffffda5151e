"""Two linear pans joined flush: side by side, or one uphill of the other.

Both must have the same fall, so that the two make one plane. The joint is looked for
where a pan's own edge can lie in it, at the corners of the floor, beside the drain and
in the middle; the best joint keeps off the drain, then asks for the fewest cuts.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from materials.core.cutting.pan_floor import box_of, fall_text
from materials.core.cutting.pan_heights import Plane
from materials.core.cutting.pan_linear import (
    Tilt,
    bases,
    fault_of,
    lay_over,
    pan_reason,
    plane_of,
)
from materials.core.cutting.pan_outlines import Region, outer_rings, within
from materials.core.cutting.pan_pieces import Lay
from materials.core.cutting.pan_records import Pan, SlopeRule

Box = tuple[Fraction, Fraction, Fraction, Fraction]


@dataclass(frozen=True, slots=True, kw_only=True)
class Joined:
    """Two pans on one plane, and the joint between them in the drain side's frame."""

    plane: Plane
    lays: tuple[Lay, Lay]
    crosses_drain: bool
    joint: Fraction

    @property
    def rank(self) -> tuple[bool, int, Fraction]:
        """The better joint first."""
        return (
            self.crosses_drain,
            sum(len(lay.trims) for lay in self.lays),
            self.joint,
        )


def joined(tilt: Tilt, pans: tuple[Pan, Pan], rule: SlopeRule) -> Joined | str:
    """Return the best joint of two pans that cover the floor together, or why none.

    Method: exact; every pair of height and joint from a finite list of candidates,
    so a feasible joint elsewhere may be missed only when it needs neither a factory
    edge, nor a corner, nor the middle.
    """
    first, second = pans
    if pans[0].name == pans[1].name and first.count == 1:
        return "only one is to be had"
    for pan in pans:
        reason = pan_reason(tilt, pan, rule)
        if reason is not None:
            return f"“{pan.name}”: {reason}"
    if first.slope != second.slope:
        return (
            f"one falls {fall_text(first.slope)}, the other {fall_text(second.slope)}, "
            "so the joint would not be flush"
        )
    width, depth = first.width + second.width, first.sloping + second.sloping
    left, low, right, high = box_of(tilt.region)
    if right - left > width.ticks and high - low > depth.ticks:
        return "together they are neither wide nor deep enough"
    found = [
        *_found(tilt, _side_by_side(tilt, (first, second), rule)),
        *_found(tilt, _uphill(tilt, (first, second), rule)),
    ]
    if first != second:
        found += _found(tilt, _side_by_side(tilt, (second, first), rule))
        found += _found(tilt, _uphill(tilt, (second, first), rule))
    if found:
        return min(found, key=lambda one: one.rank)
    return "together they do not cover the floor at one fall"


def _found(tilt: Tilt, groups: Iterator[list[Joined]]) -> list[Joined]:
    """Return the joints at the first height that has any."""
    return next((group for group in groups if group), [])


def _side_by_side(
    tilt: Tilt, pans: tuple[Pan, Pan], rule: SlopeRule
) -> Iterator[list[Joined]]:
    """Yield, height by height, the joints that run uphill."""
    left_pan, right_pan = pans
    if tilt.strip_of(left_pan) or tilt.strip_of(right_pan):
        alike = [(pan.strip, pan.strip_drop, pan.thin) for pan in pans]
        if alike[0] != alike[1]:
            return
    left, _, right, high = box_of(tilt.region)
    low = Fraction(max(left_pan.thin.ticks, right_pan.thin.ticks, tilt.lowest))
    reach = left_pan.slope * (high - tilt.strip_of(left_pan))
    for pan in pans:
        for base in bases(tilt, left_pan, low=low, high=pan.thick.ticks - reach):
            plane = plane_of(tilt, left_pan, base)
            if fault_of(tilt, left_pan, plane, rule) is not None:
                continue
            yield [
                one
                for joint in _across(tilt, pans, left, right)
                if (one := _upright_joint(tilt, pans, plane, joint)) is not None
            ]


def _across(
    tilt: Tilt, pans: tuple[Pan, Pan], left: Fraction, right: Fraction
) -> list[Fraction]:
    """Return where an upright joint may stand."""
    least = max(left, right - pans[1].width.ticks)
    most = min(right, left + pans[0].width.ticks)
    places = {least, most, (left + right) / 2}
    places |= {Fraction(point[0]) for ring in tilt.region for point in ring}
    places |= {Fraction(tilt.frame.local(end)[0]) for end in tilt.floor.drain_points}
    return sorted(x for x in places if least <= x <= most and left < x < right)


def _upright_joint(
    tilt: Tilt, pans: tuple[Pan, Pan], plane: Plane, joint: Fraction
) -> Joined | None:
    left, low, right, high = box_of(tilt.region)
    parts = (
        within(tilt.region, (left, low, joint, high)),
        within(tilt.region, (joint, low, right, high)),
    )
    ends = sorted(Fraction(tilt.frame.local(p)[0]) for p in tilt.floor.drain_points)
    return _both(tilt, pans, plane, parts, (joint, ends[0] < joint < ends[-1]))


def _both(
    tilt: Tilt,
    pans: tuple[Pan, Pan],
    plane: Plane,
    parts: tuple[Region, Region],
    joint: tuple[Fraction, bool],
) -> Joined | None:
    if any(len(outer_rings(part)) != 1 for part in parts):
        return None
    # Flush right for the first, flush left for the second: factory edges in the joint.
    first = lay_over(tilt, pans[0], plane, parts[0], right_first=True)
    second = lay_over(tilt, pans[1], plane, parts[1])
    if isinstance(first, str) or isinstance(second, str):
        return None
    return Joined(
        plane=plane, lays=(first, second), crosses_drain=joint[1], joint=joint[0]
    )


def _uphill(
    tilt: Tilt, pans: tuple[Pan, Pan], rule: SlopeRule
) -> Iterator[list[Joined]]:
    """Yield, height by height, the joints that run level, the first pan below."""
    below, above = pans
    _, _, _, high = box_of(tilt.region)
    start = tilt.strip_of(below)
    low = Fraction(max(below.thin.ticks, tilt.lowest))
    top = above.thick.ticks - above.slope * (high - start)
    for base in bases(tilt, below, low=low, high=top):
        plane = plane_of(tilt, below, base)
        if fault_of(tilt, below, plane, rule) is not None:
            continue
        yield [
            one
            for joint in _levels(tilt, pans, plane, high)
            if (one := _level_joint(tilt, pans, plane, joint)) is not None
        ]


def _levels(
    tilt: Tilt, pans: tuple[Pan, Pan], plane: Plane, high: Fraction
) -> list[Fraction]:
    """Return how far uphill a level joint may lie."""
    most = plane.start + (pans[0].thick.ticks - plane.base) / plane.slope
    least = plane.start + (pans[1].thin.ticks - plane.base) / plane.slope
    places = {least, most} | {Fraction(p[1]) for ring in tilt.region for p in ring}
    return sorted(y for y in places if least <= y <= most and plane.start < y < high)


def _level_joint(
    tilt: Tilt, pans: tuple[Pan, Pan], plane: Plane, joint: Fraction
) -> Joined | None:
    left, low, right, high = box_of(tilt.region)
    parts = (
        within(tilt.region, (left, low, right, joint)),
        within(tilt.region, (left, joint, right, high)),
    )
    return _both(tilt, pans, plane, parts, (joint, False))
