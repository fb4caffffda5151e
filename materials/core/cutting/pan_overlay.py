"""What is left of an outline when others are left out, exactly.

All sides are split where they meet; a bit of side belongs to the border when just one
of its two flanks is in. The coordinates are first made whole numbers, so that square
outlines never meet a fraction.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from fractions import Fraction
from itertools import pairwise
from math import lcm

from materials.core.cutting.pan_outlines import (
    Number,
    Point,
    Region,
    Ring,
    Segment,
    cropped,
    cross,
    is_convex,
    is_inside,
    is_on,
    meetings,
    sides,
    signed_area,
    straightened,
    tidy,
)

Rule = Callable[[Sequence[bool]], bool]
"""Whether a place is in, from whether it is inside each ring."""


def without(ring: Ring, holes: Iterable[Ring]) -> Region:
    """Return a ring less every other ring, exactly.

    Shape: all rings counter-clockwise; the answer may be empty or in several parts,
    outer rings first, largest first.
    """
    return _overlay([ring, *holes], lambda inside: inside[0] and not any(inside[1:]))


def within(region: Region, box: tuple[Number, Number, Number, Number]) -> Region:
    """Return the part of a region inside an upright rectangle, exactly.

    Shape: `box` is least x, least y, greatest x, greatest y.
    """
    if len(region) == 1 and is_convex(region[0]):
        return cropped(region[0], box)
    x0, y0, x1, y1 = box
    frame: Ring = ((x0, y0), (x1, y0), (x1, y1), (x0, y1))
    outer = [one for one in region if signed_area(one) > 0]
    gaps = [one[::-1] for one in region if signed_area(one) < 0]
    last = 1 + len(outer)
    return _overlay(
        [frame, *outer, *gaps],
        lambda inside: inside[0] and any(inside[1:last]) and not any(inside[last:]),
    )


def common(ring: Ring, other: Ring) -> Region:
    """Return what two counter-clockwise rings share, exactly."""
    return _overlay([ring, other], all)


def _overlay(rings: Sequence[Ring], rule: Rule) -> Region:
    """Return the region whose places pass a rule.

    Method: exact; time grows with the square of the number of sides, which for a
    recess is a dozen.
    """
    scale = 2 * lcm(
        *(value.denominator for one in rings for point in one for value in point)
    )
    finer = [tuple((tidy(x * scale), tidy(y * scale)) for x, y in one) for one in rings]
    border: dict[Point, list[Point]] = {}
    for a, b in _split([edge for one in finer for edge in sides(one)]):
        flanks = [_flanks(a, b, one) for one in finer]
        left = rule([flank[0] for flank in flanks])
        right = rule([flank[1] for flank in flanks])
        if left and not right:
            border.setdefault(a, []).append(b)
        elif right and not left:
            border.setdefault(b, []).append(a)
    found = [
        tuple(_point(x, y, scale) for x, y in straightened(loop))
        for loop in _loops(border)
    ]
    return tuple(sorted(found, key=lambda one: (-signed_area(one), one)))


def _point(x: Number, y: Number, scale: int) -> Point:
    return tidy(Fraction(x) / scale), tidy(Fraction(y) / scale)


def _split(edges: Sequence[Segment]) -> list[Segment]:
    """Return all sides cut where they meet, each bit once."""
    bits: set[Segment] = set()
    for edge in edges:
        points = set(edge)
        for other in edges:
            points |= meetings(edge, other)
        bits.update(pairwise(sorted(points)))
    return sorted(bits)


def _flanks(a: Point, b: Point, ring: Ring) -> tuple[bool, bool]:
    """Return whether the left and the right flank of a bit of side lie in a ring."""
    middle = (_half(a[0] + b[0]), _half(a[1] + b[1]))
    for start, end in sides(ring):
        if is_on(middle, (start, end)):
            along = (b[0] - a[0]) * (end[0] - start[0])
            forward = along + (b[1] - a[1]) * (end[1] - start[1]) > 0
            return forward, not forward
    inside = is_inside(middle, ring)
    return inside, inside


def _half(value: Number) -> Number:
    return tidy(Fraction(value) / 2) if value % 2 else tidy(value // 2)


def _loops(border: dict[Point, list[Point]]) -> list[Ring]:
    """Return the closed rings of border bits, touching parts kept apart."""
    loops = []
    while border:
        start = min(border)
        path = [start, _taken(border, start, None)]
        while path[-1] != start:
            path.append(_taken(border, path[-1], path[-2]))
        loops.append(tuple(path[:-1]))
    return loops


def _taken(
    border: dict[Point, list[Point]], at: Point, came_from: Point | None
) -> Point:
    """Take the border bit that turns most sharply left at a point."""
    ways = sorted(border[at])
    chosen = ways[0]
    if came_from is not None:
        for way in ways[1:]:
            if _turns_more(came_from, at, way, chosen):
                chosen = way
    border[at].remove(chosen)
    if not border[at]:
        del border[at]
    return chosen


def _turns_more(came_from: Point, at: Point, way: Point, than: Point) -> bool:
    """Return whether one way on turns further left than another."""
    first, second = cross(came_from, at, way), cross(came_from, at, than)
    if (first > 0) != (second > 0):
        return first > 0
    return cross(at, than, way) > 0
