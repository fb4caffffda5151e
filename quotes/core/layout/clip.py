"""Cutting tiles at the edges: every piece in the frame of the tile it comes from.

A tile that one side crosses is a half-plane clip, done for all such tiles at once in
the tile's own frame, where the corners of an oblong are whole ticks. Tiles at a corner
go through the geometry library.

Allowed to hold doubles: a kernel of the layout. Corners leave it as whole ticks.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from materials.core.lengths import MM
from quotes.core.geometry import (
    Floats,
    Ints,
    Region,
    TickRing,
    parts_inside,
)
from quotes.core.layout.grid import Grid, after
from quotes.core.layout.sparse import Meeting

_FACTORS = np.random.default_rng(20_011).integers(1, 2**62, size=64, dtype=np.int64)
"""Odd and even alike: they only have to mix the corners of a piece into one key."""

_NUDGE = 1 / 1024
"""Half ticks all round the same way, whatever the last bit of a double says."""

_HOLE = (MM // 10) ** 2
"""Holes that differ by less than a hundredth of a square millimetre are alike."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Pieces:
    """Alike pieces as rows of a table: outline, area, and the rows they came from."""

    item: int
    outline: TickRing
    area: int
    members: Ints


_Found = dict[tuple[int, TickRing, int], list[tuple[float, Ints]]]
"""By item, outline and the holes in it: a pipe takes area, not outline."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Cutter:
    """A region, the lattice over it and the positions its sides meet."""

    grid: Grid
    region: Region
    origin: Floats
    met: Meeting
    least_area: float

    def pieces(self) -> list[Pieces]:
        """Return the cut pieces, alike ones together; `members` are rows of `met`.

        Units: ticks. Rounds: corners to the nearest tick; areas from before that.
        """
        met = self.met
        alone = met.is_cut & (met.sides == 1)
        found: _Found = {}
        self._clip_by_one(np.flatnonzero(alone), found)
        self._clip_by_many(np.flatnonzero(met.is_cut & ~alone), found)
        return [
            Pieces(
                item=item,
                outline=ring,
                area=round(groups[0][0]),
                members=np.concatenate([members for _, members in groups]),
            )
            for (item, ring, _), groups in found.items()
        ]

    def _moved(self, rows: Ints) -> Floats:
        """Return where the lattice point of each position lies in the room."""
        steps = np.stack([self.met.i[rows], self.met.j[rows]], axis=1)
        return np.asarray(self.origin + steps @ self.grid.basis.T)

    def _clip_by_one(self, rows: Ints, found: _Found) -> None:
        if not len(rows):
            return
        face = self.met.face[rows]
        corners, kept = self._half_plane(rows)
        order = np.argsort(~kept, axis=1, kind="stable")
        packed = np.take_along_axis(corners, order[:, :, None], axis=1)
        blank = np.arange(packed.shape[1]) >= kept.sum(axis=1)[:, None]
        packed = np.where(blank[:, :, None], packed[:, :1], packed)
        areas = _shoelace(packed)
        whole = np.floor(packed + (0.5 - _NUDGE)).astype(np.int64)
        big = np.flatnonzero(areas >= self.least_area)
        for members in _alike(self.grid.item[face], whole, big):
            lead = members[0]
            ring = tidied(whole[lead].tolist())
            if len(ring) >= 3:
                key = (int(self.grid.item[face[lead]]), ring, 0)
                found.setdefault(key, []).append((float(areas[lead]), rows[members]))

    def _half_plane(self, rows: Ints) -> tuple[Floats, np.ndarray]:
        """Return up to twice the corners of each clipped tile, and which count."""
        grid, met = self.grid, self.met
        face = met.face[rows]
        sides = self.region.sides[met.side[met.first[rows]]]
        along = sides[:, 2:] - sides[:, :2]
        long = np.hypot(along[:, 0], along[:, 1])
        across, up = -along[:, 1] / long, along[:, 0] / long
        begin = self._moved(rows) + grid.start[face]
        level = across * (sides[:, 0] - begin[:, 0]) + up * (sides[:, 1] - begin[:, 1])
        turn = grid.turn[face]
        tile_x = turn[:, 0, 0] * across + turn[:, 1, 0] * up
        tile_y = turn[:, 0, 1] * across + turn[:, 1, 1] * up
        outline = grid.outline[face]
        depth = (
            tile_x[:, None] * outline[:, :, 0]
            + tile_y[:, None] * outline[:, :, 1]
            - level[:, None]
        )
        following = after(depth)
        change = depth - following
        share = depth / np.where(np.abs(change) > 1e-9, change, 1)
        inside = depth >= 0
        crosses = inside != (following >= 0)
        share = np.where(crosses, share, 0)
        way = grid.outline_next[face] - outline
        count, corners = depth.shape
        points = np.empty((count, 2 * corners, 2))
        points[:, ::2] = outline
        points[:, 1::2] = outline + share[:, :, None] * way
        kept = np.empty((count, 2 * corners), dtype=bool)
        kept[:, ::2] = inside
        kept[:, 1::2] = crosses
        return points, kept

    def _clip_by_many(self, rows: Ints, found: _Found) -> None:
        if not len(rows):
            return
        face = self.met.face[rows]
        grid = self.grid
        moved = self._moved(rows)
        parts = parts_inside(grid.shape[face] + moved[:, None, :], self.region)
        big = np.flatnonzero(parts.area >= self.least_area).tolist()
        for rank in big:
            index = int(parts.owner[rank])
            begin = moved[index] + grid.start[face[index]]
            in_tile = (parts.corners[rank] - begin) @ grid.turn[face[index]]
            whole = np.floor(in_tile + (0.5 - _NUDGE)).astype(np.int64)
            ring = tidied(whole.tolist())
            if len(ring) >= 3:
                holes = round(float(parts.holes[rank]) / _HOLE)
                key = (int(grid.item[face[index]]), ring, holes)
                size = float(parts.area[rank])
                found.setdefault(key, []).append((size, rows[index : index + 1]))


def _shoelace(rings: Floats) -> Floats:
    x, y = rings[:, :, 0], rings[:, :, 1]
    twice = x * after(y) - after(x) * y
    return np.asarray(twice.sum(axis=1) / 2)


def _alike(item: Ints, whole: Ints, rows: Ints) -> list[Ints]:
    """Return the rows grouped by item and corners.

    Method: sort by a mixed 64-bit key, then split; rows whose keys agree by accident
    would need corners that differ, so every group is checked against its first row.
    """
    if not len(rows):
        return []
    flat = np.column_stack([item[rows], whole[rows].reshape(len(rows), -1)])
    key = (flat * _FACTORS[: flat.shape[1]]).sum(axis=1)
    order = np.argsort(key, kind="stable")
    ranked = flat[order]
    breaks = (ranked[1:] != ranked[:-1]).any(axis=1)
    return np.split(rows[order], np.flatnonzero(breaks) + 1)


def tidied(corners: list[list[int]]) -> TickRing:
    """Return a ring without repeated or flat corners, its least corner first.

    Corners are taken away one after another, each judged by the neighbours it still
    has: of two corners a tick apart, each looks flat beside the other, and one of them
    is the corner of the piece.
    """
    ring = [
        corner
        for corner, (x, y) in zip(corners, [*corners[1:], corners[0]], strict=True)
        if corner != [x, y]
    ]
    rank = 0
    while rank < len(ring) >= 3:
        following = ring[(rank + 1) % len(ring)]
        if _is_flat(ring[rank - 1], ring[rank], following):
            del ring[rank]
            rank = 0
        else:
            rank += 1
    if len(ring) < 3:
        return ()
    whole = [(x, y) for x, y in ring]
    least = whole.index(min(whole))
    return (*whole[least:], *whole[:least])


def _is_flat(before: list[int], here: list[int], after: list[int]) -> bool:
    """Return whether a corner and its neighbours are a tick high: straight, or a spike.

    A tile whose edge lies on a wall may keep a spike along it, no wider than a hair.
    """
    (x0, y0), (x1, y1), (x2, y2) = before, here, after
    cross = (x1 - x0) * (y2 - y1) - (y1 - y0) * (x2 - x1)
    longest = max(
        abs(x1 - x0), abs(y1 - y0), abs(x2 - x1), abs(y2 - y1), abs(x2 - x0),
        abs(y2 - y0),
    )  # fmt: skip
    return abs(cross) <= longest
