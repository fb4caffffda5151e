"""Cutting tiles at the edges: every piece in the frame of the tile it comes from.

A tile that one side crosses is a half-plane clip, done for all such tiles at once in
the tile's own frame, where the corners of an oblong are whole ticks. Tiles at a corner
go through the geometry library.

Allowed to hold doubles: a kernel of the layout. Corners leave it as whole ticks.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from quotes.core.geometry import (
    Floats,
    Ints,
    Region,
    TickRing,
    outer_corners,
    parts_inside,
    solid_area,
)
from quotes.core.layout.grid import Grid
from quotes.core.layout.sparse import Meeting

_NUDGE = 1 / 1024
"""Half ticks all round the same way, whatever the last bit of a double says."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Pieces:
    """Alike pieces as rows of a table: outline, area, and the rows they came from."""

    item: int
    outline: TickRing
    area: int
    members: Ints


def pieces(
    grid: Grid, area: Region, origin: Floats, met: Meeting, least_area: float
) -> list[Pieces]:
    """Return the cut pieces, alike ones together; `members` are rows of `met`.

    Units: ticks. Rounds: each corner to the nearest tick; areas from before that.
    """
    cut = np.flatnonzero(met.is_cut)
    alone = cut[met.sides[cut] == 1]
    corner = cut[met.sides[cut] > 1]
    found: dict[tuple[int, TickRing], list[tuple[float, Ints]]] = {}
    _clip_by_one(grid, area, origin, met, alone, least_area, found)
    _clip_by_many(grid, area, origin, met, corner, least_area, found)
    return [
        Pieces(
            item=item,
            outline=ring,
            area=round(groups[0][0]),
            members=np.concatenate([members for _, members in groups]),
        )
        for (item, ring), groups in found.items()
    ]


def _clip_by_one(
    grid: Grid,
    area: Region,
    origin: Floats,
    met: Meeting,
    rows: Ints,
    least_area: float,
    found: dict[tuple[int, TickRing], list[tuple[float, Ints]]],
) -> None:
    if not len(rows):
        return
    face = met.face[rows]
    sides = area.sides[met.side[met.first[rows]]]
    corners, kept = _half_plane(grid, origin, met, rows, sides)
    counts = kept.sum(axis=1)
    order = np.argsort(~kept, axis=1, kind="stable")
    packed = np.take_along_axis(corners, order[:, :, None], axis=1)
    blank = np.arange(packed.shape[1])[None, :] >= counts[:, None]
    packed = np.where(blank[:, :, None], packed[:, :1], packed)
    areas = _shoelace(packed)
    whole = np.floor(packed + 0.5 - _NUDGE).astype(np.int64)
    big = areas >= least_area
    for members in _alike(grid.item[face], whole, np.flatnonzero(big)):
        lead = members[0]
        ring = _tidy(whole[lead])
        if len(ring) >= 3:
            key = (int(grid.item[face[lead]]), ring)
            found.setdefault(key, []).append((float(areas[lead]), rows[members]))


def _half_plane(
    grid: Grid, origin: Floats, met: Meeting, rows: Ints, sides: Floats
) -> tuple[Floats, np.ndarray]:
    """Return up to twice the corners of each clipped tile, and which of them count."""
    face = met.face[rows]
    along = sides[:, 2:] - sides[:, :2]
    normal = np.stack([-along[:, 1], along[:, 0]], axis=1)
    normal /= np.hypot(along[:, 0], along[:, 1])[:, None]
    moved = np.stack([met.i[rows], met.j[rows]], axis=1) @ grid.basis.T
    begin = origin + moved + grid.start[face]
    level = (normal * (sides[:, :2] - begin)).sum(axis=1)
    in_tile = np.einsum("nba,nb->na", grid.turn[face], normal)
    outline = grid.outline[face]
    depth = np.einsum("na,nva->nv", in_tile, outline) - level[:, None]
    following = np.roll(depth, -1, axis=1)
    change = depth - following
    share = np.divide(
        depth, change, out=np.zeros(depth.shape), where=np.abs(change) > 1e-9
    )
    crossing = outline + share[:, :, None] * (np.roll(outline, -1, axis=1) - outline)
    inside = depth >= 0
    crosses = inside != (following >= 0)
    shape = (len(rows), 2 * outline.shape[1], 2)
    corners = np.stack([outline, crossing], axis=2).reshape(shape)
    kept = np.stack([inside, crosses], axis=2).reshape(shape[:2])
    return corners, kept


def _shoelace(rings: Floats) -> Floats:
    x, y = rings[:, :, 0], rings[:, :, 1]
    twice = x * np.roll(y, -1, axis=1) - np.roll(x, -1, axis=1) * y
    return np.asarray(twice.sum(axis=1) / 2)


def _alike(item: Ints, whole: Ints, rows: Ints) -> list[Ints]:
    """Return the rows grouped by item and corners.

    Method: sort by a mixed 64-bit key, then split; rows whose keys agree by accident
    would need corners that differ, so every group is checked against its first row.
    """
    if not len(rows):
        return []
    flat = np.column_stack([item[rows], whole[rows].reshape(len(rows), -1)])
    rng = np.random.default_rng(20_011)
    factors = rng.integers(1, 2**62, size=flat.shape[1], dtype=np.int64) * 2 + 1
    with np.errstate(over="ignore"):
        key = (flat * factors).sum(axis=1)
    order = np.argsort(key, kind="stable")
    ranked = flat[order]
    breaks = (ranked[1:] != ranked[:-1]).any(axis=1)
    return np.split(rows[order], np.flatnonzero(breaks) + 1)


def _tidy(corners: Ints) -> TickRing:
    """Return a ring without repeated or straight corners, its least corner first."""
    ring: list[tuple[int, int]] = []
    for x, y in corners.tolist():
        if not ring or ring[-1] != (x, y):
            ring.append((x, y))
    while len(ring) > 1 and ring[0] == ring[-1]:
        ring.pop()
    kept = [
        corner
        for index, corner in enumerate(ring)
        if not _is_straight(ring[index - 1], corner, ring[(index + 1) % len(ring)])
    ]
    if len(kept) < 3:
        return ()
    least = kept.index(min(kept))
    return (*kept[least:], *kept[:least])


def _is_straight(
    before: tuple[int, int], here: tuple[int, int], after: tuple[int, int]
) -> bool:
    """Return whether a corner stands within a tick of the line past it."""
    (x0, y0), (x1, y1), (x2, y2) = before, here, after
    cross = (x1 - x0) * (y2 - y0) - (y1 - y0) * (x2 - x0)
    length = max(abs(x2 - x0), abs(y2 - y0))
    return abs(cross) <= length and (x1 - x0) * (x2 - x1) + (y1 - y0) * (y2 - y1) >= 0


def _clip_by_many(
    grid: Grid,
    area: Region,
    origin: Floats,
    met: Meeting,
    rows: Ints,
    least_area: float,
    found: dict[tuple[int, TickRing], list[tuple[float, Ints]]],
) -> None:
    if not len(rows):
        return
    face = met.face[rows]
    moved = origin + np.stack([met.i[rows], met.j[rows]], axis=1) @ grid.basis.T
    parts, owner = parts_inside(grid.shape[face] + moved[:, None, :], area)
    for part, index in zip(parts, owner.tolist(), strict=True):
        size = solid_area(part)
        if size < least_area:
            continue
        begin = moved[index] + grid.start[face[index]]
        in_tile = (outer_corners(part) - begin) @ grid.turn[face[index]]
        ring = _tidy(np.floor(in_tile + 0.5 - _NUDGE).astype(np.int64))
        if len(ring) >= 3:
            key = (int(grid.item[face[index]]), ring)
            found.setdefault(key, []).append((size, rows[index : index + 1]))
