"""Exact outlines: areas, first moments, bounds, and whether an outline is one.

A point is a pair of ticks, whole or fractional; a ring is a sequence of points, the
last not repeated; a region is a list of rings, outer ones counter-clockwise and holes
clockwise. Nothing here rounds: every figure is an integer or a Fraction, so that areas
of pieces add up to the whole.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from functools import lru_cache
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


def tidy(value: Number) -> Number:
    """Return a whole number as an int, so that later sums stay quick."""
    return value.numerator if value.denominator == 1 else value


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
    shared = meetings(s, t)
    return len(shared) > 1 if beside else bool(shared)


def meetings(s: Segment, t: Segment) -> set[Point]:
    """Return where two segments meet: one point, or both ends of an overlap."""
    (a, b), (c, d) = s, t
    for axis in (0, 1):
        if max(a[axis], b[axis]) < min(c[axis], d[axis]):
            return set()
        if max(c[axis], d[axis]) < min(a[axis], b[axis]):
            return set()
    over = cross(a, b, c), cross(a, b, d)
    under = cross(c, d, a), cross(c, d, b)
    if over == (0, 0):
        return {p for p in (a, b) if is_on(p, t)} | {p for p in (c, d) if is_on(p, s)}
    if (over[0] > 0 and over[1] > 0) or (over[0] < 0 and over[1] < 0):
        return set()
    if (under[0] > 0 and under[1] > 0) or (under[0] < 0 and under[1] < 0):
        return set()
    part = Fraction(over[0]) / (over[0] - over[1])
    return {(tidy(c[0] + part * (d[0] - c[0])), tidy(c[1] + part * (d[1] - c[1])))}


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
            # A corner on the line belongs to the half that one of its sides enters.
            if first < 0 or second < 0:
                halves[0].extend(p for p, off in ((a, first), (b, second)) if off <= 0)
            if first > 0 or second > 0:
                halves[1].extend(p for p, off in ((a, first), (b, second)) if off >= 0)
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


def cropped(ring: Ring, box: tuple[Number, Number, Number, Number]) -> Region:
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
    return (straightened(points),)


def outer_rings(region: Region) -> Region:
    """Return the separate parts of a region, without their holes."""
    return tuple(one for one in region if signed_area(one) > 0)


def hole_rings(region: Region) -> Region:
    """Return the holes of a region."""
    return tuple(one for one in region if signed_area(one) < 0)


def straightened(ring: Ring) -> Ring:
    """Return a ring without points in line with their neighbours."""
    count = len(ring)
    return tuple(
        ring[i]
        for i in range(count)
        if cross(ring[i - 1], ring[i], ring[(i + 1) % count]) != 0
    )
