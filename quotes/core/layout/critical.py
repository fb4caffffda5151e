"""Origins worth trying: where counts can change, and where they are balanced.

Counts are constant between *critical* origins, where a corner of some face stands on
the line of some side of the room. The best origins are among them: an edge of a tile
exactly on a wall. For each direction of the room's sides the critical levels repeat
with the lattice; one level from each of two directions makes an origin.

Allowed to hold doubles: a kernel of the layout.
"""

from __future__ import annotations

from fractions import Fraction

import numpy as np

from quotes.core.geometry import Floats, Region, TickPoint
from quotes.core.layout.grid import Grid, grid_of
from quotes.core.pattern import Lattice

_HAIR = 4.0
_MOST_LEVELS = 40


def grid_origins(lattice: Lattice, angle: Fraction, *, steps: int) -> Floats:
    """Return an even grid of origins over one cell of the lattice, in ticks."""
    grid = grid_of(lattice, angle)
    share = np.arange(steps) / steps
    both = np.stack(np.meshgrid(share, share, indexing="ij"), axis=-1).reshape(-1, 2)
    return np.asarray(both @ grid.basis.T)


def critical_origins(
    region: Region, lattice: Lattice, angle: Fraction, *, most: int
) -> Floats:
    """Return critical origins within one cell, in ticks, at most `most`.

    Shape: empty when the room's sides run in directions the lattice never repeats in.
    Method: levels of the two longest directions of sides, longest sides first.
    """
    grid = grid_of(lattice, angle)
    normals, levels = _main_directions(region)
    if len(normals) < 2:
        return np.zeros((0, 2))
    rows = [_levels(grid, n, at) for n, at in zip(normals, levels, strict=True)]
    steps = [_repeat(grid, n) for n in normals]
    if any(step is None for step in steps):
        return np.zeros((0, 2))
    return _crossings(grid, normals, rows, [float(s or 1) for s in steps])[:most]


def _main_directions(region: Region) -> tuple[list[Floats], list[Floats]]:
    """Return two directions (unit normals) and the levels of their sides."""
    along = region.sides[:, 2:] - region.sides[:, :2]
    length = np.hypot(along[:, 0], along[:, 1])
    normal = np.stack([-along[:, 1], along[:, 0]], axis=1) / length[:, None]
    normal = np.where(
        (normal[:, :1] < -1e-9)
        | ((np.abs(normal[:, :1]) <= 1e-9) & (normal[:, 1:] < 0)),
        -normal,
        normal,
    )
    key = np.round(normal, 7)
    _, which = np.unique(key, axis=0, return_inverse=True)
    total = np.bincount(which.ravel(), length)
    chosen: list[Floats] = []
    levels: list[Floats] = []
    for rank in np.argsort(-total, kind="stable"):
        rows = np.flatnonzero(which.ravel() == rank)
        direction = normal[rows[np.argmax(length[rows])]]
        if chosen and _is_along(chosen[0], direction):
            continue
        order = rows[np.argsort(-length[rows], kind="stable")]
        chosen.append(direction)
        levels.append((region.sides[order, :2] * direction).sum(axis=1))
        if len(chosen) == 2:
            break
    return chosen, levels


def _is_along(one: Floats, other: Floats) -> bool:
    return bool(abs(one[0] * other[1] - one[1] * other[0]) < 0.2)


def _levels(grid: Grid, normal: Floats, sides: Floats) -> Floats:
    """Return the critical levels of a direction, and those halfway between walls."""
    corners = np.unique(np.round((grid.shape @ normal).ravel(), 1))
    touching = (sides[:, None] - corners[None, :]).ravel()
    step = _repeat(grid, normal)
    if step is None:
        return touching[:_MOST_LEVELS]
    touching = np.mod(touching, step)
    kept = _distinct(touching, step)[:_MOST_LEVELS]
    ends = np.array([sides.min(), sides.max()]).mean()
    centre = (corners.min() + corners.max()) / 2
    balanced = np.mod([ends - centre, ends - centre + step / 2], step)
    return np.concatenate([kept, balanced])


def _distinct(levels: Floats, step: float) -> Floats:
    kept: list[float] = []
    for level in levels.tolist():
        if all(
            min(abs(level - other), step - abs(level - other)) > _HAIR for other in kept
        ):
            kept.append(level)
    return np.array(kept)


def _repeat(grid: Grid, normal: Floats) -> float | None:
    """Return the step in which levels repeat, None if they never do."""
    first, second = np.abs(normal @ grid.basis)
    for _ in range(24):
        if second < 1.0:
            return float(first) if first > _HAIR else None
        first, second = second, first - second * np.floor(first / second + 1e-9)
        if abs(second) < 1.0 or abs(second - first) < 1.0:
            return float(first) if first > _HAIR else None
    return None


def _crossings(
    grid: Grid, normals: list[Floats], rows: list[Floats], steps: list[float]
) -> Floats:
    """Return the points where a level of each direction crosses, within one cell."""
    matrix = np.linalg.inv(np.stack(normals))
    cell = abs(np.linalg.det(grid.basis))
    each = steps[0] * steps[1] * abs(np.linalg.det(matrix))
    copies = max(1, round(cell / each)) if each else 1
    if copies > 64:
        return np.zeros((0, 2))
    first, second = np.meshgrid(rows[0], rows[1], indexing="ij")
    base = np.stack([first.ravel(), second.ravel()], axis=1)
    found = []
    for extra in range(copies):
        shifted = base + np.array([extra * steps[0], 0])
        found.append(shifted @ matrix.T)
    # Bring every origin into the cell about zero, so that equal ones look equal.
    points = np.concatenate(found)
    share = points @ grid.inverse.T
    return np.asarray((share - np.floor(share + 1e-7)) @ grid.basis.T)


def grained_rows(points: Floats, grain: Fraction) -> list[TickPoint]:
    """Return many origins in whole ticks as `grained` does, each once, in order.

    Rounds: a point within the last bit of a half may go the other way.
    """
    size, step = np.abs(points), float(grain) if grain else 1.0
    whole = np.floor(size / step + 0.5).astype(np.int64)
    if grain:
        over, under = grain.numerator, grain.denominator
        whole = (2 * whole * over + under) // (2 * under)
    signed = np.where(points < 0, -whole, whole).tolist()
    return list(dict.fromkeys((x, y) for x, y in signed))
