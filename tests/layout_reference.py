"""A slow and independent count of tiles, to hold the real one against.

It shares nothing with the program: its own pattern tables in millimetres, one tile
after another through the geometry library's predicates, no sums over rows.
"""

from __future__ import annotations

import cmath
import math
from dataclasses import dataclass

import numpy as np
import shapely
import shapely.affinity

HAIR = 1e-7
"""Pieces are cut on a grid as fine as this: a tile on a wall would otherwise keep a
spike no wider than the last bit of a double, and its box would be a whole tile."""


@dataclass(frozen=True)
class SlowFace:
    item: str
    corners: tuple[complex, ...]
    frame: float  # degrees from the tile's own frame to the pattern


@dataclass(frozen=True)
class SlowCount:
    full: dict[str, int]
    cut: dict[str, int]
    pieces: list[tuple[str, float, float, float]]
    absorbed: list[tuple[str, float, float, float]]
    tiled_area: float
    doubtful: bool


def _rect(item, x, y, w, h, frame=0.0):
    return SlowFace(
        item,
        tuple(complex(*p) for p in ((x, y), (x + w, y), (x + w, y + h), (x, y + h))),
        frame,
    )


def table(name, t, j, p):
    """Return u, v and the faces of a pattern as published, in millimetres."""
    if name in (
        "stack",
        "running_bond",
        "herringbone",
        "basketweave",
        "windmill",
        "chevron",
    ):
        length, width = t["length"], t["width"]
        a, b = length + j, width + j
    if name == "stack":
        return a + 0j, b * 1j, [_rect("tile", 0, 0, length, width)]
    if name == "running_bond":
        move = a * p["offset"]
        if p.get("returning"):
            return (
                a + 0j,
                2j * b,
                [
                    _rect("tile", 0, 0, length, width),
                    _rect("tile", move, b, length, width),
                ],
            )
        return a + 0j, move + b * 1j, [_rect("tile", 0, 0, length, width)]
    if name == "herringbone":
        n = int(p.get("n", 1))
        big = n * b
        faces = []
        for k in range(n):
            faces.append(_rect("tile", 0, k * b, length, width))
            faces.append(_rect("tile", a + k * b, big - a, width, length, 90))
        return big + big * 1j, a - a * 1j, faces
    if name == "basketweave":
        n = int(p["n"])
        m = max(length, n * width + (n - 1) * j) + j
        inner = max(j, (length - n * width) / (n - 1))
        faces = []
        for k in range(n):
            faces.append(_rect("tile", 0, k * (width + inner), length, width))
            faces.append(_rect("tile", m + k * (width + inner), 0, width, length, 90))
        return m + m * 1j, m - m * 1j, faces
    if name == "hexagon":
        f = t["across"]
        radius = f / math.sqrt(3)
        ring = tuple(cmath.rect(radius, math.radians(30 + 60 * k)) for k in range(6))
        step = f + j
        return (
            step + 0j,
            cmath.rect(step, math.radians(60)),
            [SlowFace("tile", ring, 0)],
        )
    if name == "hopscotch":
        a, b = t["length"] + j, t["small"] + j
        return (
            complex(a, b),
            complex(-b, a),
            [
                _rect("large", 0, 0, t["length"], t["length"]),
                _rect("small", a, 0, t["small"], t["small"]),
            ],
        )
    if name == "windmill":
        s = length - width - j
        return (
            a + b + 0j,
            (a + b) * 1j,
            [
                _rect("oblong", 0, 0, length, width),
                _rect("oblong", a, 0, width, length, 90),
                _rect("oblong", b, a, length, width),
                _rect("oblong", 0, b, width, length, 90),
                _rect("square", b, b, s, s),
            ],
        )
    if name == "modular":
        m = t["module"]
        faces = []
        for x, y, w, h in (
            (0, 0, 2, 3),
            (2, -1, 2, 2),
            (4, 0, 1, 1),
            (7, -1, 2, 2),
            (9, 0, 1, 1),
            (14, -1, 1, 2),
        ):
            key = f"{max(w, h)}x{min(w, h)}"
            faces.append(
                _rect(key, x * m, y * m, w * m - j, h * m - j, 90 if h > w else 0)
            )
        return complex(3 * m, m), complex(0, 6 * m), faces
    if name == "chevron":
        phi = math.radians(p["slope"])
        c, rise, end = (
            length * math.cos(phi),
            length * math.sin(phi),
            width / math.cos(phi),
        )
        right = (0j, complex(c, rise), complex(c, rise + end), complex(0, end))
        left = tuple(complex(2 * c + j - z.real, z.imag) for z in right)[::-1]
        return (
            2 * (c + j) + 0j,
            complex(0, (width + j) / math.cos(phi)),
            [
                SlowFace("right", right, 0),
                SlowFace("left", left, 0),
            ],
        )
    if name == "octagon_dot":
        f = t["across"]
        radius = f / 2 / math.cos(math.pi / 8)
        ring = tuple(cmath.rect(radius, math.radians(22.5 + 45 * k)) for k in range(8))
        h = f * (2 - math.sqrt(2)) / 2
        side = 2 * ((h + j) / math.sqrt(2) - j)
        centre = complex(f + j, f + j) / 2
        dot = tuple(
            centre + cmath.rect(side / math.sqrt(2), math.radians(90 * k))
            for k in range(4)
        )
        return (
            f + j + 0j,
            (f + j) * 1j,
            [SlowFace("octagon", ring, 0), SlowFace("dot", dot, 45)],
        )
    raise AssertionError(name)


def _poly(points):
    return shapely.Polygon([(z.real, z.imag) for z in points])


def slow_count(outer, holes, *, pattern, tile, joint, origin, angle, gap, eps, params):
    """Count by trying every position, in millimetres."""
    whole = shapely.Polygon(outer)
    inside = whole
    if gap:
        inside = whole.buffer(-gap, join_style="mitre", mitre_limit=50)
    for hole in holes:
        ring = shapely.Polygon(hole)
        if gap:
            ring = ring.buffer(gap, join_style="mitre", mitre_limit=50)
        inside = inside.difference(ring)
    u, v, faces = table(pattern, tile, joint, params)
    spin = cmath.exp(1j * math.radians(angle))
    start = complex(*origin)
    left, bottom, right, top = inside.bounds
    det = u.real * v.imag - u.imag * v.real
    full, cut, pieces, absorbed = {}, {}, [], []
    doubtful = False
    for face in faces:
        full.setdefault(face.item, 0)
        cut.setdefault(face.item, 0)
        ring = [z * spin for z in face.corners]
        steps = _positions(
            ring, u * spin, v * spin, start, (left, bottom, right, top), det
        )
        inner = _poly(ring).buffer(-eps, join_style="mitre", mitre_limit=50)
        if not steps:
            continue
        moves = np.array([(z.real, z.imag) for z in steps])
        insets = shapely.polygons(_corners(inner) + moves[:, None, :])
        met = shapely.area(shapely.intersection(insets, inside))
        for move, touched in zip(moves, met, strict=True):
            if touched <= 1e-7:
                continue
            if touched >= inner.area - 1e-6:
                full[face.item] += 1
                continue
            kept = 0
            shape = shapely.affinity.translate(_poly(ring), *move)
            for part in shapely.get_parts(
                shapely.intersection(shape, inside, grid_size=HAIR)
            ):
                if part.geom_type != "Polygon":
                    continue
                doubtful |= abs(part.area - 10 * eps) < 0.02
                if part.area < 10 * eps:
                    continue
                flat = shapely.affinity.rotate(part, -angle - face.frame, origin=(0, 0))
                x0, y0, x1, y1 = flat.bounds
                size = (face.item, x1 - x0, y1 - y0, part.area)
                doubtful |= abs(min(size[1:3]) - joint) < 0.003
                if min(size[1:3]) < joint - 1e-6:
                    absorbed.append(size)
                else:
                    pieces.append(size)
                    kept += 1
            cut[face.item] += kept > 0
    return SlowCount(full, cut, pieces, absorbed, inside.area, doubtful)


def _corners(polygon):
    return shapely.get_coordinates(polygon.exterior)


def _positions(ring, u, v, start, bounds, det):
    left, bottom, right, top = bounds
    reach = max(abs(z) for z in ring)
    corners = [
        complex(x, y) - start
        for x in (left - reach, right + reach)
        for y in (bottom - reach, top + reach)
    ]
    across = [(z.real * v.imag - z.imag * v.real) / det for z in corners]
    along = [(u.real * z.imag - u.imag * z.real) / det for z in corners]
    found = []
    for i in range(math.floor(min(across)), math.ceil(max(across)) + 1):
        for j in range(math.floor(min(along)), math.ceil(max(along)) + 1):
            z = start + i * u + j * v
            if all(
                low - reach <= w <= high + reach
                for w, low, high in ((z.real, left, right), (z.imag, bottom, top))
            ):
                found.append(z)
    return found
