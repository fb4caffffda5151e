"""The only door to the geometry library; doubles that hold ticks stay behind it.

Everything outside works with whole ticks (1 tick = 1/1920 mm). Inside, coordinates
are doubles: whole ticks are exact there far beyond any building, and only what is
irrational anyway (turned tiles, hexagons, mitres) carries an error, below 1e-6 tick.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from materials.core.errors import BadShape

Number = float
"""A coordinate in ticks: whole, or irrational after a turn."""

Point = tuple[Number, Number]
TickPoint = tuple[int, int]
TickRing = tuple[TickPoint, ...]
Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Shapes = NDArray[np.object_]

_MITRE = 50.0
"""A mitre longer than fifty gaps is cut off: no corner of a room is that sharp."""


@lru_cache(maxsize=1024)
def cosine_sine(degrees: Fraction | int) -> Point:
    """Return cosine and sine of an angle, exact at every quarter turn.

    >>> cosine_sine(90)
    (0, 1)
    """
    quarter, rest = divmod(Fraction(degrees) % 360, 90)
    if rest == 0:
        return ((1, 0), (0, 1), (-1, 0), (0, -1))[int(quarter)]
    radians = math.radians(float(Fraction(degrees) % 360))
    return math.cos(radians), math.sin(radians)


def nearest_tick(value: Number) -> int:
    """Return the whole tick nearest to a coordinate."""
    return round(value)


def turned(point: Point, degrees: Fraction | int) -> Point:
    """Return a point turned about (0, 0), counter-clockwise."""
    cosine, sine = cosine_sine(degrees)
    x, y = point
    return x * cosine - y * sine, x * sine + y * cosine


def doubled_area(ring: Sequence[TickPoint]) -> int:
    """Return twice the signed area of a ring, exactly; positive counter-clockwise.

    Units: square ticks.
    """
    following = (*ring[1:], ring[0])
    return sum(
        x * next_y - next_x * y
        for (x, y), (next_x, next_y) in zip(ring, following, strict=True)
    )


def outline_area(outline: Sequence[Point]) -> Number:
    """Return the area of a counter-clockwise outline whose corners may be irrational.

    Units: square ticks.
    """
    following = (*outline[1:], outline[0])
    total = sum(
        x * next_y - next_x * y
        for (x, y), (next_x, next_y) in zip(outline, following, strict=True)
    )
    return total / 2


def check_ring(ring: TickRing, *, field: str) -> None:
    """Refuse a ring that is no outline.

    Raises: BadShape naming `field`, for fewer than three corners, a corner given
    twice running, an outline that crosses or touches itself, and one without area.
    """
    if len(ring) < 3:
        raise BadShape(
            f"The outline {field} has {len(ring)} corners; give at least three.",
            field=field,
        )
    for index, corner in enumerate(ring):
        if corner == ring[index - 1]:
            raise BadShape(
                f"Corner {index + 1} of {field} repeats the corner before it; "
                "give each corner once and do not repeat the first at the end.",
                field=field,
            )
    if doubled_area(ring) == 0:
        raise BadShape(f"The outline {field} encloses no area.", field=field)
    if not shapely.is_valid(shapely.Polygon(ring)):
        raise BadShape(
            f"The outline {field} crosses or touches itself; "
            "give its corners in order round the edge.",
            field=field,
        )


def check_holes(outer: TickRing, holes: Sequence[TickRing], *, field: str) -> None:
    """Refuse holes that reach outside the outline or overlap each other.

    A hole may touch the outline, as a door touches the floor.
    Raises: BadShape naming the hole.
    """
    whole = shapely.Polygon(outer)
    shapes = [shapely.Polygon(hole) for hole in holes]
    for index, shape in enumerate(shapes):
        if not whole.covers(shape):
            raise BadShape(
                f"The hole {field}[{index}] reaches outside the outline; "
                "move it inside or cut it at the edge.",
                field=f"{field}[{index}]",
            )
        for other in range(index):
            if shapes[other].intersection(shape).area > 0:
                raise BadShape(
                    f"The holes {field}[{other}] and {field}[{index}] overlap; "
                    "give them as one hole.",
                    field=f"{field}[{index}]",
                )
    if sum(shape.area for shape in shapes) >= whole.area:
        raise BadShape(f"The holes {field} leave nothing to tile.", field=field)


@dataclass(frozen=True, slots=True, kw_only=True)
class Region:
    """The part of a surface that takes tile: its shape and its sides.

    `sides` holds one row a side, x y x y in ticks, the region on its left;
    `following` the side that begins where each ends.
    """

    shape: Any
    sides: Floats
    following: Ints
    area: Fraction

    @property
    def bounds(self) -> tuple[int, int, int, int]:
        """The bounding rectangle in ticks: left, bottom, right, top."""
        left, bottom, right, top = shapely.bounds(self.shape)
        return round(left), round(bottom), round(right), round(top)


@lru_cache(maxsize=512)
def region(outer: TickRing, holes: tuple[TickRing, ...], *, gap: int) -> Region:
    """Return what is left to tile after the holes and a gap along every edge.

    The outline moves in and the holes move out by `gap`, corners mitred.

    Units: ticks. Rounds: nothing on axis-parallel input; mitres of other corners
    keep their fraction of a tick.
    Raises: BadShape when the gap leaves nothing.
    """
    whole = shapely.Polygon(outer)
    openings = [shapely.Polygon(hole) for hole in holes]
    if gap:
        whole = _offset(whole, -gap)
        openings = [_offset(opening, gap) for opening in openings]
    if openings:
        plain = shapely.Polygon(outer, holes)
        if gap == 0 and shapely.is_valid(plain):
            whole = plain
        else:
            whole = shapely.difference(whole, shapely.union_all(openings))
    if shapely.area(whole) <= 0:
        raise BadShape("The gap leaves nothing to tile; make it smaller.", field="gap")
    area = _exact_area(outer, holes, whole, gap)
    sides, following = _sides(whole)
    return Region(shape=whole, sides=sides, following=following, area=area)


def _exact_area(
    outer: TickRing, holes: Sequence[TickRing], shape: Any, gap: int
) -> Fraction:
    if gap:
        return Fraction(float(shapely.area(shape)))
    return surface_area(outer, holes)


def surface_area(outer: TickRing, holes: Sequence[TickRing]) -> Fraction:
    """Return the exact area of an outline less its holes, in square ticks."""
    doubled = abs(doubled_area(outer)) - sum(abs(doubled_area(hole)) for hole in holes)
    return Fraction(doubled, 2)


def _offset(shape: Any, distance: int) -> Any:
    return shapely.buffer(
        shape, distance, join_style="mitre", mitre_limit=_MITRE, quad_segs=1
    )


def _sides(shape: Any) -> tuple[Floats, Ints]:
    """Return the sides of a shape, the inside on their left, straight runs joined.

    And for each the row of the side that follows it.
    """
    rows: list[Floats] = []
    following: list[Ints] = []
    for part in shapely.get_parts(shape):
        if shapely.get_type_id(part) != 3:
            continue
        facing = shapely.orient_polygons(part)
        for ring in (facing.exterior, *facing.interiors):
            corners = _without_straight_corners(shapely.get_coordinates(ring)[:-1])
            before = sum(len(ring) for ring in following)
            following.append(before + np.roll(np.arange(len(corners)), -1))
            rows.append(np.hstack([corners, np.roll(corners, -1, axis=0)]))
    return np.vstack(rows), np.concatenate(following)


def _without_straight_corners(corners: Floats) -> Floats:
    before = corners - np.roll(corners, 1, axis=0)
    after = np.roll(corners, -1, axis=0) - corners
    bend = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    ahead = (before * after).sum(axis=1)
    kept = corners[(np.abs(bend) > 1e-9 * np.abs(ahead)) | (ahead <= 0)]
    return kept if len(kept) >= 3 else corners


@dataclass(frozen=True, slots=True, kw_only=True)
class Parts:
    """Connected parts of outlines inside a region.

    Shape: one entry a part: the row of its outline, its area less holes, the area of
    its holes, and its outer corners, counter-clockwise, none repeated.
    """

    owner: Ints
    area: Floats
    holes: Floats
    corners: tuple[Floats, ...]


def parts_inside(outlines: Floats, region: Region) -> Parts:
    """Return the connected parts of each outline inside a region.

    Units: ticks. Shape: `outlines` is (n, corners, 2). Parts without area are left out.
    """
    met = shapely.intersection(shapely.polygons(outlines), region.shape)
    parts, owner = shapely.get_parts(met, return_index=True)
    solid = shapely.get_type_id(parts) == 3
    parts, owner = shapely.orient_polygons(parts[solid]), owner[solid]
    rings = shapely.get_exterior_ring(parts)
    corners, ring = shapely.get_coordinates(rings, return_index=True)
    ends = np.flatnonzero(np.diff(ring)) + 1
    each = np.split(corners, ends) if len(parts) else []
    area = shapely.area(parts)
    holes = np.zeros(len(parts))
    holed = shapely.get_num_interior_rings(parts) > 0
    holes[holed] = shapely.area(shapely.polygons(rings[holed])) - area[holed]
    return Parts(
        owner=owner.astype(np.int64),
        area=area,
        holes=holes,
        corners=tuple(points[:-1] for points in each),
    )


def distances(first: Sequence[TickRing], second: Sequence[TickRing]) -> Floats:
    """Return the distance between each pair of outlines, in ticks."""
    left = np.array([shapely.Polygon(ring) for ring in first], dtype=object)
    right = np.array([shapely.Polygon(ring) for ring in second], dtype=object)
    return np.asarray(shapely.distance(left, right), dtype=np.float64)


def grown(outlines: Sequence[Sequence[Point]], by: Number) -> Shapes:
    """Return outlines grown by a distance, corners mitred."""
    shapes = np.array([shapely.Polygon(ring) for ring in outlines], dtype=object)
    return np.asarray(
        shapely.buffer(shapes, by, join_style="mitre", quad_segs=1, mitre_limit=_MITRE)
    )


def area_in_all(shapes: Shapes) -> Number:
    """Return the sum of the areas of shapes, in square ticks."""
    return float(shapely.area(shapes).sum())


def lines_within(
    lines: Sequence[Floats], outer: TickRing, holes: Sequence[TickRing]
) -> tuple[tuple[TickPoint, ...], ...]:
    """Return what of open lines lies inside a surface and outside its holes.

    Rounds: corners to the nearest tick.
    """
    inside = shapely.Polygon(outer, holes)
    found: list[tuple[TickPoint, ...]] = []
    for line in lines:
        cut = shapely.intersection(shapely.LineString(line), inside)
        for part in shapely.get_parts(cut):
            if part.geom_type == "LineString":
                corners = np.rint(shapely.get_coordinates(part)).astype(np.int64)
                found.append(tuple((x, y) for x, y in corners.tolist()))
    return tuple(found)


def largest_overlap(
    shapes: Shapes, pairs: Sequence[tuple[int, int]], moves: Sequence[Point]
) -> Number:
    """Return the largest area that one shape shares with another one moved.

    Units: square ticks. Shape: `pairs` name two of `shapes`, `moves` say how far the
    second of each pair is moved; without pairs nothing.
    """
    if not pairs:
        return 0
    first, second = np.array(pairs).T
    corners, owner = shapely.get_coordinates(shapes[second], return_index=True)
    moved = shapely.set_coordinates(
        shapes[second], corners + np.array(moves, dtype=np.float64)[owner]
    )
    met = shapely.area(shapely.intersection(shapes[first], moved))
    return float(met.max())


def convex_hull(points: Sequence[TickPoint]) -> TickRing:
    """Return the convex hull of tick points, counter-clockwise, exactly.

    Shape: the least corner first.
    Method: Andrew's monotone chain on integers, O(n log n).
    """
    if len(points) == 4 and _is_upright(points):
        return tuple(points)
    ordered = sorted(set(points))
    if len(ordered) < 3:
        return tuple(ordered)
    lower = _chain(ordered)
    upper = _chain(ordered[::-1])
    return (*lower[:-1], *upper[:-1])


def _is_upright(points: Sequence[TickPoint]) -> bool:
    """Return whether four points go round an upright box from its least corner."""
    (x0, y0), (x1, y1), (x2, y2), (x3, y3) = points
    return y0 == y1 < y2 == y3 and x0 == x3 < x1 == x2


def _chain(points: Sequence[TickPoint]) -> list[TickPoint]:
    kept: list[TickPoint] = []
    for x, y in points:
        while len(kept) >= 2:
            (x1, y1), (x2, y2) = kept[-2:]
            if (x2 - x1) * (y - y1) - (y2 - y1) * (x - x1) > 0:
                break
            kept.pop()
        kept.append((x, y))
    return kept
