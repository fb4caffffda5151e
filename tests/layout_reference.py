"""A slow and independent count of tiles, to hold the real one against.

It shares nothing with the program: its own pattern tables in millimetres, every tile
made and put through the geometry library, no sums over rows, no clipping of its own.
"""

from __future__ import annotations

import cmath
import math
from dataclasses import dataclass

import numpy as np
import shapely


@dataclass(frozen=True)
class SlowFace:
    item: str
    corners: tuple[complex, ...]
    frame: float  # degrees from the tile's own frame to the pattern


@dataclass
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


def slow_count(
    outer, holes, *, pattern, tile, joint, origin, angle, gap, eps, params, hair=0.0
):
    """Count by trying every position, in millimetres.

    `hair` is a grid the pieces are cut on. Without one a tile that stands on a wall
    may keep a spike no wider than the last bit of a double, as long as the tile.
    """
    whole = shapely.Polygon(outer)
    inside = whole
    if gap:
        inside = whole.buffer(-gap, join_style="mitre", mitre_limit=50)
    for hole in holes:
        ring = shapely.Polygon(hole)
        if gap:
            ring = ring.buffer(gap, join_style="mitre", mitre_limit=50)
        inside = inside.difference(ring)
    shapely.prepare(inside)
    u, v, faces = table(pattern, tile, joint, params)
    spin, start = _spin(angle), complex(*origin)
    found = SlowCount({}, {}, [], [], inside.area, False)
    for face in faces:
        found.full.setdefault(face.item, 0)
        found.cut.setdefault(face.item, 0)
        ring = [z * spin for z in face.corners]
        steps = _positions(ring, u * spin, v * spin, start, inside.bounds)
        inner = _poly(ring).buffer(-eps, join_style="mitre", mitre_limit=50)
        insets = shapely.polygons(_corners(inner) + steps[:, None, :])
        near = shapely.intersects(insets, inside)
        steps, insets = steps[near], insets[near]
        met = np.full(len(insets), inner.area)
        some = ~shapely.contains_properly(inside, insets)
        met[some] = shapely.area(shapely.intersection(insets[some], inside))
        full = met >= inner.area - 1e-6
        found.full[face.item] += int(full.sum())
        cut = (met > 1e-7) & ~full
        shapes = shapely.polygons(_corners(_poly(ring)) + steps[cut][:, None, :])
        _take_pieces(
            found,
            face,
            _spin(-angle - face.frame),
            (shapes, inside),
            (joint, eps, hair),
        )
    return found


def _take_pieces(found, face, back, cut, limits):
    """Add the pieces of every cut position of a face."""
    (shapes, inside), (joint, eps, hair) = cut, limits
    met = shapely.intersection(shapes, inside, **({"grid_size": hair} if hair else {}))
    parts, owner = shapely.get_parts(met, return_index=True)
    solid = shapely.get_type_id(parts) == 3
    parts, owner = parts[solid], owner[solid]
    points, index = shapely.get_coordinates(parts, return_index=True)
    turned = (points[:, 0] + 1j * points[:, 1]) * back
    kept = set()
    for rank, area in enumerate(shapely.area(parts).tolist()):
        found.doubtful |= abs(area - 10 * eps) < 0.02
        if area < 10 * eps:
            continue
        ring = turned[np.searchsorted(index, rank) : np.searchsorted(index, rank + 1)]
        wide = float(ring.real.max() - ring.real.min())
        high = float(ring.imag.max() - ring.imag.min())
        narrow = min(wide, high)
        # As narrow as the joint, to the last bit, is not narrower.
        found.doubtful |= 1e-6 < abs(narrow - joint) < 0.003
        if narrow < joint - 1e-6:
            found.absorbed.append((face.item, wide, high, area))
        else:
            found.pieces.append((face.item, wide, high, area))
            kept.add(int(owner[rank]))
    found.cut[face.item] += len(kept)


def _corners(polygon):
    return shapely.get_coordinates(polygon.exterior)


def _spin(degrees):
    """Return the turn by some degrees, exact at every quarter."""
    if degrees % 90 == 0:
        return (1, 1j, -1, -1j)[int(degrees // 90) % 4]
    return cmath.exp(1j * math.radians(degrees))


def _positions(ring, u, v, start, bounds):
    """Return the steps of every position whose circle touches the bounds."""
    left, bottom, right, top = bounds
    reach = max(abs(z) for z in ring)
    corners = np.array(
        [
            complex(x, y) - start
            for x in (left - reach, right + reach)
            for y in (bottom - reach, top + reach)
        ]
    )
    det = u.real * v.imag - u.imag * v.real
    across = (corners.real * v.imag - corners.imag * v.real) / det
    along = (u.real * corners.imag - u.imag * corners.real) / det
    i = np.arange(math.floor(across.min()), math.ceil(across.max()) + 1)
    j = np.arange(math.floor(along.min()), math.ceil(along.max()) + 1)
    z = (start + i[:, None] * u + j[None, :] * v).ravel()
    near = (
        (left - reach <= z.real) & (z.real <= right + reach)
        & (bottom - reach <= z.imag) & (z.imag <= top + reach)
    )  # fmt: skip
    return np.column_stack([z.real[near], z.imag[near]])
