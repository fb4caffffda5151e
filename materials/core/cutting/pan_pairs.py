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
    cover_reason,
    fault_of,
    lay_over,
    pan_reason,
    plane_of,
)
from materials.core.cutting.pan_outlines import Region, outer_rings
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


def joined(tilt: Tilt, pans: tuple[Pan, Pan], rule: SlopeRule) -> Joined | str:
    """Return the best joint of two pans that cover the floor together, or why none.

    Method: exact; heights and joints from a finite list, best first, side by side
    before one above the other, and the first that does is taken. A joint is missed
    only when it needs neither a factory edge, nor a corner, nor the middle.
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
    orders = [pans] if first == second else [pans, (second, first)]
    for find in (_side_by_side, _uphill):
        for order in orders:
            found = next(find(tilt, order, rule), None)
            if found is not None:
                return found
    return "together they do not cover the floor at one fall"


def _side_by_side(
    tilt: Tilt, pans: tuple[Pan, Pan], rule: SlopeRule
) -> Iterator[Joined]:
    """Yield the joints that run uphill, height by height, the best first."""
    left_pan, right_pan = pans
    if tilt.strip_of(left_pan) or tilt.strip_of(right_pan):
        alike = [(pan.strip, pan.strip_drop, pan.thin) for pan in pans]
        if alike[0] != alike[1]:
            return
    left, _, right, _ = box_of(tilt.region)
    joints = _across(tilt, pans, left, right)
    for base in _upright_bases(tilt, pans, joints):
        plane = plane_of(tilt, left_pan, base)
        if fault_of(tilt, plane, rule) is not None:
            continue
        for joint in joints:
            one = _upright_joint(tilt, pans, plane, joint)
            if one is not None:
                yield one


def _upright_bases(
    tilt: Tilt, pans: tuple[Pan, Pan], joints: list[Fraction]
) -> list[Fraction]:
    """Return the heights worth trying where the slope begins, joint by joint.

    A pan whose part begins further up need not reach down to the drain, nor one
    whose part ends lower up to the far wall.
    """
    start, slope = tilt.strip_of(pans[0]), pans[0].slope
    found: list[Fraction] = []
    for joint in joints:
        halves = tilt.halves(0, joint).bounds
        lows: list[Fraction] = [Fraction(tilt.lowest)]
        highs: list[Fraction] = []
        for pan, (_, foot, _, top) in zip(pans, halves, strict=True):
            lows.append(
                pan.thin.ticks - slope * max(Fraction(foot) - start, Fraction(0))
            )
            highs.append(pan.thick.ticks - slope * (Fraction(top) - start))
        found += bases(tilt, pans[0], low=max(lows), high=min(highs))
    return list(dict.fromkeys(found))


def _drain_ends(tilt: Tilt) -> list[Fraction]:
    return sorted(Fraction(tilt.frame.local(p)[0]) for p in tilt.floor.drain_points)


def _across(
    tilt: Tilt, pans: tuple[Pan, Pan], left: Fraction, right: Fraction
) -> list[Fraction]:
    """Return where an upright joint may stand: off the drain, at a factory edge."""
    least = max(left, right - pans[1].width.ticks)
    most = min(right, left + pans[0].width.ticks)
    places = {least, most, (left + right) / 2}
    places |= {Fraction(point[0]) for ring in tilt.region for point in ring}
    first, last = _drain_ends(tilt)
    places |= {first, last}
    return sorted(
        (x for x in places if least <= x <= most and left < x < right),
        key=lambda x: (first < x < last, x not in (least, most), x),
    )


def _upright_joint(
    tilt: Tilt, pans: tuple[Pan, Pan], plane: Plane, joint: Fraction
) -> Joined | None:
    if _too_small(tilt, pans, plane, (0, joint)):
        return None
    parts = tilt.halves(0, joint).parts
    first, last = _drain_ends(tilt)
    return _both(tilt, pans, plane, parts, (joint, first < joint < last))


def _too_small(
    tilt: Tilt, pans: tuple[Pan, Pan], plane: Plane, joint: tuple[int, Fraction]
) -> bool:
    """Return whether a pan cannot reach over its part, by the part's bounds alone."""
    halves = tilt.halves(*joint).bounds
    return any(
        cover_reason(tilt, pan, plane, half) is not None
        for pan, half in zip(pans, halves, strict=True)
    )


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


def _uphill(tilt: Tilt, pans: tuple[Pan, Pan], rule: SlopeRule) -> Iterator[Joined]:
    """Yield the joints that run level, the first pan below the second."""
    below, above = pans
    _, _, _, high = box_of(tilt.region)
    start = tilt.strip_of(below)
    low = Fraction(max(below.thin.ticks, tilt.lowest))
    reach = above.slope * (high - start)
    top = above.thick.ticks - reach
    # Between: where a joint both pans can make lies in the middle of the floor.
    middle = (above.thin.ticks + below.thick.ticks - reach) / 2
    found = bases(tilt, below, low=low, high=top)
    if not start and low <= top:
        found = (*found, max(low, min(top, middle)))
    for base in dict.fromkeys(found):
        plane = plane_of(tilt, below, base)
        if fault_of(tilt, plane, rule) is not None:
            continue
        for joint in _levels(tilt, pans, plane, high):
            one = _level_joint(tilt, pans, plane, joint)
            if one is not None:
                yield one


def _levels(
    tilt: Tilt, pans: tuple[Pan, Pan], plane: Plane, high: Fraction
) -> list[Fraction]:
    """Return how far uphill a level joint may lie, at a factory edge first."""
    most = plane.start + (pans[0].thick.ticks - plane.base) / plane.slope
    least = plane.start + (pans[1].thin.ticks - plane.base) / plane.slope
    places = {least, most, (plane.start + high) / 2}
    places |= {Fraction(p[1]) for ring in tilt.region for p in ring}
    return sorted(
        (y for y in places if least <= y <= most and plane.start < y < high),
        key=lambda y: (y not in (least, most), y),
    )


def _level_joint(
    tilt: Tilt, pans: tuple[Pan, Pan], plane: Plane, joint: Fraction
) -> Joined | None:
    if _too_small(tilt, pans, plane, (1, joint)):
        return None
    parts = tilt.halves(1, joint).parts
    return _both(tilt, pans, plane, parts, (joint, False))
