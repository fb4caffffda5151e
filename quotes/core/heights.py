"""Leveller from spot heights: the volume below a level plane, by triangles.

The spots are joined to triangles so that no spot lies inside the circle of another
triangle. Over each the floor is taken as a plane; what lies outside all of them, out
to the walls, is taken at the mean depth of the spots.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from materials.core.lengths import METRE, Length
from materials.core.outlines import Ring, doubled_area
from quotes.core.errors import WrongSurface
from quotes.core.visit import Surface

Point = tuple[int, int]
Triangle = tuple[int, int, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class LevelFill:
    """What it takes to level a floor: litres, the least depth and the greatest."""

    litres: Fraction
    least: Length
    greatest: Length
    triangles: int


def level_volume(surface: Surface, ring: Ring, *, least: Length) -> LevelFill:
    """Return the leveller that brings a floor level, at least `least` deep.

    Units: litres. Rounds: nothing.
    Raises: WrongSurface for fewer than three spots, or two at one place.
    Method: Delaunay triangulation by inserting spots one by one, on whole ticks.
    """
    spots = [
        (spot.x.length.ticks, spot.y.length.ticks, spot.height.length.ticks)
        for spot in surface.heights
    ]
    places = [(x, y) for x, y, _ in spots]
    if len(set(places)) != len(places):
        raise WrongSurface(
            f"Two heights of {surface.name} were taken at one place; keep one.",
            field="heights",
        )
    triangles = triangulated(places)
    if not triangles:
        raise WrongSurface(
            f"{surface.name} needs at least three heights that are not in one line.",
            field="heights",
        )
    top = max(height for _, _, height in spots) + least.ticks
    depths = [top - height for _, _, height in spots]
    inside = Fraction(0)
    covered = Fraction(0)
    for triangle in triangles:
        area = Fraction(abs(doubled_area([places[i] for i in triangle])), 2)
        covered += area
        inside += area * sum(depths[i] for i in triangle) / 3
    whole = Fraction(abs(doubled_area(ring)), 2)
    mean = Fraction(sum(depths), len(depths))
    volume = inside + max(Fraction(0), whole - covered) * mean
    return LevelFill(
        litres=volume / METRE**3 * 1000,
        least=Length(min(depths)),
        greatest=Length(max(depths)),
        triangles=len(triangles),
    )


def triangulated(points: list[Point]) -> list[Triangle]:
    """Return triangles over the points, counter-clockwise, none when all in a line.

    Shape: triples of places in `points`.
    Method: Bowyer and Watson's insertion with an enclosing triangle far outside;
    exact whole-number tests; quadratic in the number of points.
    """
    reach = 1 + 4 * max((max(abs(x), abs(y)) for x, y in points), default=0)
    far = reach * 1_000
    count = len(points)
    nodes = [*points, (-far, -far), (far, -far), (0, far)]
    triangles: list[Triangle] = [(count, count + 1, count + 2)]
    for index in range(count):
        bad = [t for t in triangles if _in_circle(nodes, t, nodes[index])]
        rim: list[tuple[int, int]] = []
        for triangle in bad:
            for a, b in _sides(triangle):
                if (b, a) in rim:
                    rim.remove((b, a))
                else:
                    rim.append((a, b))
        triangles = [t for t in triangles if t not in bad]
        triangles += [
            (a, b, index) for a, b in rim if _turn(nodes[a], nodes[b], nodes[index]) > 0
        ]
    return [t for t in triangles if max(t) < count]


def _sides(triangle: Triangle) -> tuple[tuple[int, int], ...]:
    a, b, c = triangle
    return ((a, b), (b, c), (c, a))


def _turn(a: Point, b: Point, c: Point) -> int:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _in_circle(nodes: list[Point], triangle: Triangle, point: Point) -> bool:
    rows = []
    for index in triangle:
        across, up = nodes[index][0] - point[0], nodes[index][1] - point[1]
        rows.append((across, up, across * across + up * up))
    (a, b, c), (d, e, f), (g, h, i) = rows
    return a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g) > 0
