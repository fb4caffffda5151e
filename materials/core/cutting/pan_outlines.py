"""Exact outlines: areas, first moments and what is left when parts are left out.

A point is a pair of ticks, whole or fractional; a ring is a sequence of points, the
last not repeated; a region is a list of rings, outer ones counter-clockwise and holes
clockwise. Nothing here rounds: every figure is an integer or a Fraction, so that areas
of pieces add up to the whole.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise
from math import isqrt

from materials.core.errors import BadShape
from materials.core.quantities import half_up

Number = int | Fraction
Point = tuple[Number, Number]
Ring = tuple[Point, ...]
Region = tuple[Ring, ...]
Segment = tuple[Point, Point]

_ROOT_BITS = 32


def cross(o: Point, a: Point, b: Point) -> Number:
    """Return twice the signed area of the triangle; positive turns left."""
    return (a[0] - o[0]) * (b[1] - o[1]) - (a[1] - o[1]) * (b[0] - o[0])


def sides(ring: Ring) -> list[Segment]:
    """Return the sides of a ring in order; side i runs from point i to the next."""
    return [(ring[i], ring[(i + 1) % len(ring)]) for i in range(len(ring))]


def whole(value: Number) -> int:
    """Return a place or height as whole ticks, halves away from zero."""
    return int(half_up(Fraction(value)))


def signed_area(ring: Ring) -> Fraction:
    """Return the ring's area in square ticks, positive when counter-clockwise.

    Method: the shoelace sum, exact.
    """
    twice = sum(
        (Fraction(a[0] * b[1] - b[0] * a[1]) for a, b in sides(ring)), Fraction(0)
    )
    return twice / 2


def region_area(region: Region) -> Fraction:
    """Return the area of a region in square ticks, its holes taken out."""
    return sum((signed_area(ring) for ring in region), Fraction(0))


def moment_y(region: Region) -> Fraction:
    """Return the integral of y over a region, in cubic ticks.

    Method: Green's theorem on each side, exact; the volume under a plane that
    rises with y is area × base + slope × this.
    """
    total = Fraction(0)
    for ring in region:
        for a, b in sides(ring):
            total += (a[0] * b[1] - b[0] * a[1]) * (a[1] + b[1])
    return total / 6


def bounds(region: Region) -> tuple[Number, Number, Number, Number]:
    """Return least x, least y, greatest x and greatest y of a region."""
    xs = [point[0] for ring in region for point in ring]
    ys = [point[1] for ring in region for point in ring]
    return min(xs), min(ys), max(xs), max(ys)


@lru_cache(maxsize=1024)
def root(value: Number) -> Fraction:
    """Return the square root, exactly when it is rational.

    Rounds: an irrational root is cut to 2^-32, so a side out of square is known to
    far less than a millionth of a tick and a square one exactly.
    """
    value = Fraction(value)
    top, bottom = isqrt(value.numerator), isqrt(value.denominator)
    if top * top == value.numerator and bottom * bottom == value.denominator:
        return Fraction(top, bottom)
    return Fraction(
        isqrt((value.numerator << 2 * _ROOT_BITS) // value.denominator), 1 << _ROOT_BITS
    )


def square_distance(point: Point, segment: Segment) -> Fraction:
    """Return the square of the distance from a point to a segment, exactly."""
    a, b = segment
    along = (b[0] - a[0], b[1] - a[1])
    length2 = along[0] ** 2 + along[1] ** 2
    reach = (point[0] - a[0]) * along[0] + (point[1] - a[1]) * along[1]
    if length2 == 0 or reach <= 0:
        near: Point = a
    elif reach >= length2:
        near = b
    else:
        part = Fraction(reach) / length2
        near = (a[0] + part * along[0], a[1] + part * along[1])
    return Fraction((point[0] - near[0]) ** 2 + (point[1] - near[1]) ** 2)


def is_on(point: Point, segment: Segment) -> bool:
    """Return whether a point lies on a segment, its ends included."""
    a, b = segment
    return (
        cross(a, b, point) == 0
        and min(a[0], b[0]) <= point[0] <= max(a[0], b[0])
        and min(a[1], b[1]) <= point[1] <= max(a[1], b[1])
    )


def is_inside(point: Point, ring: Ring) -> bool:
    """Return whether a point lies inside a ring; undecided on its border.

    Method: crossings of the ray to the right, exact.
    """
    inside = False
    for a, b in sides(ring):
        if (a[1] > point[1]) != (b[1] > point[1]):
            left = cross(a, b, point) > 0
            if left == (b[1] > a[1]):
                inside = not inside
    return inside


def counter_clockwise(points: Sequence[Point], *, name: str) -> Ring:
    """Return a checked ring: simple, with area, counter-clockwise.

    Points in line with their neighbours are kept, so sides keep their numbers.

    Raises: BadShape when fewer than three points are given, one is repeated, or two
    sides cross or touch (so an outline without area is refused too).
    """
    ring = tuple(points)
    if len(ring) < 3:
        raise BadShape(f"{name} needs at least three corners; {len(ring)} were given.")
    if len(set(ring)) < len(ring):
        raise BadShape(f"{name} names one corner twice; leave the last point out.")
    edges = sides(ring)
    for i in range(len(edges)):
        for j in range(i + 1, len(edges)):
            beside = j == i + 1 or (i == 0 and j == len(edges) - 1)
            if _clash(edges[i], edges[j], beside=beside):
                raise BadShape(f"{name} crosses itself: sides {i} and {j} meet.")
    return ring if signed_area(ring) > 0 else ring[::-1]


def _clash(s: Segment, t: Segment, *, beside: bool) -> bool:
    shared = _meetings(s, t)
    return len(shared) > 1 if beside else bool(shared)


def _meetings(s: Segment, t: Segment) -> set[Point]:
    """Return where two segments meet: one point, or both ends of an overlap."""
    (a, b), (c, d) = s, t
    over = cross(a, b, c), cross(a, b, d)
    under = cross(c, d, a), cross(c, d, b)
    if over == (0, 0):
        return {p for p in (a, b) if is_on(p, t)} | {p for p in (c, d) if is_on(p, s)}
    if (over[0] > 0 and over[1] > 0) or (over[0] < 0 and over[1] < 0):
        return set()
    if (under[0] > 0 and under[1] > 0) or (under[0] < 0 and under[1] < 0):
        return set()
    part = Fraction(over[0]) / (over[0] - over[1])
    return {(c[0] + part * (d[0] - c[0]), c[1] + part * (d[1] - c[1]))}


def without(ring: Ring, holes: Iterable[Ring]) -> Region:
    """Return a ring less every other ring, exactly.

    Shape: all rings counter-clockwise; the answer may be empty or in several parts,
    outer rings first, largest first.
    """
    cutters = tuple(holes)
    return _overlay(
        [ring, *cutters],
        lambda a, b: (
            _flank(a, b, ring) and not any(_flank(a, b, one) for one in cutters)
        ),
    )


def within(region: Region, box: tuple[Number, Number, Number, Number]) -> Region:
    """Return the part of a region inside an upright rectangle, exactly.

    Shape: `box` is least x, least y, greatest x, greatest y.
    """
    if len(region) == 1 and is_convex(region[0]):
        return _cropped(region[0], box)
    x0, y0, x1, y1 = box
    frame: Ring = ((x0, y0), (x1, y0), (x1, y1), (x0, y1))
    outer = [one for one in region if signed_area(one) > 0]
    gaps = [one[::-1] for one in region if signed_area(one) < 0]
    return _overlay(
        [frame, *outer, *gaps],
        lambda a, b: (
            _flank(a, b, frame)
            and any(_flank(a, b, one) for one in outer)
            and not any(_flank(a, b, one) for one in gaps)
        ),
    )


def common(ring: Ring, other: Ring) -> Region:
    """Return what two counter-clockwise rings share, exactly."""
    return _overlay(
        [ring, other], lambda a, b: _flank(a, b, ring) and _flank(a, b, other)
    )


def split_bounds(
    region: Region, axis: int, at: Number
) -> tuple[tuple[Number, Number, Number, Number], ...]:
    """Return the bounds of a region's two halves, below and above a line.

    Units: `axis` 0 for the line x = `at`, 1 for y = `at`; it must cross the region.
    Method: corners and crossings alone, without building the halves.
    """
    halves: tuple[list[Point], list[Point]] = ([], [])
    for ring in region:
        for a, b in sides(ring):
            first, second = a[axis] - at, b[axis] - at
            if first <= 0:
                halves[0].append(a)
            if first >= 0:
                halves[1].append(a)
            if first * second < 0:
                part = Fraction(first) / (first - second)
                there = (a[0] + part * (b[0] - a[0]), a[1] + part * (b[1] - a[1]))
                halves[0].append(there)
                halves[1].append(there)
    return tuple(bounds((tuple(half),)) for half in halves)


def is_convex(ring: Ring) -> bool:
    """Return whether a counter-clockwise ring never turns right."""
    count = len(ring)
    return all(
        cross(ring[i - 1], ring[i], ring[(i + 1) % count]) >= 0 for i in range(count)
    )


def _cropped(ring: Ring, box: tuple[Number, Number, Number, Number]) -> Region:
    """Return the part of a convex ring inside an upright rectangle, exactly.

    Method: one border of the rectangle after the other; for a convex ring the answer
    is one ring.
    """
    x0, y0, x1, y1 = box
    points = ring
    for axis, border, side in ((0, x0, 1), (0, x1, -1), (1, y0, 1), (1, y1, -1)):
        kept: list[Point] = []
        for a, b in sides(points):
            first, second = (a[axis] - border) * side, (b[axis] - border) * side
            if first >= 0:
                kept.append(a)
            if first * second < 0:
                part = Fraction(first) / (first - second)
                kept.append((a[0] + part * (b[0] - a[0]), a[1] + part * (b[1] - a[1])))
        points = tuple(kept)
    if len(set(points)) < 3 or not signed_area(points):
        return ()
    return (_straightened(points),)


def outer_rings(region: Region) -> Region:
    """Return the separate parts of a region, without their holes."""
    return tuple(one for one in region if signed_area(one) > 0)


def hole_rings(region: Region) -> Region:
    """Return the holes of a region."""
    return tuple(one for one in region if signed_area(one) < 0)


def _overlay(rings: Sequence[Ring], is_in: Callable[[Point, Point], bool]) -> Region:
    """Return the region whose points pass a test, from the sides of all rings.

    Method: all sides are split where they meet; a bit of side belongs to the border
    when just one of its two flanks is in. Time grows with the square of the number
    of sides, which for a recess is a dozen.
    """
    border: dict[Point, list[Point]] = {}
    for a, b in _split([edge for one in rings for edge in sides(one)]):
        left, right = is_in(a, b), is_in(b, a)
        if left and not right:
            border.setdefault(a, []).append(b)
        elif right and not left:
            border.setdefault(b, []).append(a)
    found = [_straightened(loop) for loop in _loops(border)]
    return tuple(sorted(found, key=lambda one: (-signed_area(one), one)))


def _split(edges: Sequence[Segment]) -> list[Segment]:
    """Return all sides cut where they meet, each bit once."""
    bits: set[Segment] = set()
    for edge in edges:
        points = set(edge)
        for other in edges:
            points |= _meetings(edge, other)
        order = sorted(points)
        bits.update(pairwise(order))
    return sorted(bits)


def _flank(a: Point, b: Point, ring: Ring) -> bool:
    """Return whether the left flank of a bit of side lies in a ring."""
    middle: Point = (Fraction(a[0] + b[0]) / 2, Fraction(a[1] + b[1]) / 2)
    for start, end in sides(ring):
        if is_on(middle, (start, end)):
            along = (b[0] - a[0]) * (end[0] - start[0])
            return along + (b[1] - a[1]) * (end[1] - start[1]) > 0
    return is_inside(middle, ring)


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


def _straightened(ring: Ring) -> Ring:
    """Return a ring without points in line with their neighbours."""
    count = len(ring)
    return tuple(
        ring[i]
        for i in range(count)
        if cross(ring[i - 1], ring[i], ring[(i + 1) % count]) != 0
    )
