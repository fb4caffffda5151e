"""Counts for many origins at once, for comparing set-outs.

The same sums as one count makes, with the origin as one more index; no piece is
made. A position that one side alone cuts to a sliver is not counted as cut; slivers in
corners are, so the figures rank origins and the exact count settles them.

Allowed to hold doubles: a kernel of the layout.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from quotes.core.geometry import Floats, Ints, Region
from quotes.core.layout.grid import Grid, after, grid_of
from quotes.core.layout.promise import Promises, Reaches, inward, promises_of
from quotes.core.layout.records import Rules
from quotes.core.layout.sparse import Pairs, row_slices, spread
from quotes.core.pattern import Lattice

_CHUNK = 256


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ManyCounts:
    """Counts of many origins, all items together: one entry an origin.

    `promise` is about how many tiles might do: whole ones, and of each item the cut
    ones above half a tile or the area of all, whichever is more. `likely` is what it
    comes to when pieces pair end to end. Both only rank origins.
    """

    full: Ints
    cut: Ints
    promise: Ints
    likely: Ints


def count_many(
    region: Region, lattice: Lattice, angle: Fraction, origins: Floats, rules: Rules
) -> ManyCounts:
    """Return full and cut positions, all items together, for each origin.

    Units: ticks. Shape: `origins` is (n, 2).
    Method: exact but for slivers in corners; O(n × perimeter), vectorised.
    """
    grid = grid_of(lattice, angle)
    inset = inset_units(grid, rules.tolerance)
    least = _least_depth(grid, region.sides, lattice.joint, rules.least_area)
    room = _Room(
        sides=region.sides,
        inset=inset,
        least=least,
        promises=promises_of(grid, region, lattice, rules),
    )
    found = [
        _counts(grid, room, origins[begin : begin + _CHUNK])
        for begin in range(0, max(1, len(origins)), _CHUNK)
    ]
    full, cut, promise, likely = (
        np.concatenate(rows) for rows in zip(*found, strict=True)
    )
    return ManyCounts(full=full, cut=cut, promise=promise, likely=likely)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Room:
    """What stays the same for all origins.

    Shape: `inset` faces in lattice steps; `least` depth of a piece, for face and side.
    """

    sides: Floats
    inset: Floats
    least: Floats
    promises: Promises


def inset_units(grid: Grid, tolerance: float) -> Floats:
    """Return every face inset by the tolerance, in lattice steps."""
    shapes = []
    for normals, support, shape in zip(
        grid.normals, grid.support, grid.shape, strict=True
    ):
        real = np.flatnonzero(np.abs(normals).sum(axis=1) > 0)
        ring = _inset_ring(normals[real], support[real] + max(tolerance, 0.01))
        pad = len(shape) - len(ring)
        shapes.append(np.vstack([ring, np.repeat(ring[-1:], pad, axis=0)]))
    return np.array(shapes) @ grid.inverse.T


def _inset_ring(normals: Floats, support: Floats) -> Floats:
    """Return the corners where neighbouring sides meet after moving in."""
    before = np.roll(normals, 1, axis=0)
    level = np.roll(support, 1)
    det = before[:, 0] * normals[:, 1] - before[:, 1] * normals[:, 0]
    x = (level * normals[:, 1] - support * before[:, 1]) / det
    y = (before[:, 0] * support - normals[:, 0] * level) / det
    return np.stack([x, y], axis=1)


def _counts(grid: Grid, room: _Room, origins: Floats) -> tuple[Ints, Ints, Ints, Ints]:
    inset, sides = room.inset, room.sides
    count, faces = len(origins), len(inset)
    start = (sides[None, :, :2] - origins[:, None, :]) @ grid.inverse.T
    end = (sides[None, :, 2:] - origins[:, None, :]) @ grid.inverse.T
    place, pairs = _met(inset, start, end)
    face, i, j = pairs.face, pairs.i, pairs.j
    depth = _depth(grid, sides, origins[place], pairs)
    deep = depth >= room.least[face, pairs.side]
    order, first = _grouped(place * faces + face, i, j)
    several = np.diff(np.append(first, len(order))) > 1
    lead = order[first]
    counted = several | deep[lead]
    cut = np.bincount(place[lead], counted, minlength=count)
    inside, within = _inside(
        grid, start, end, (place[lead], face[lead], i[lead], j[lead])
    )
    taken = np.bincount(place[lead], within, minlength=count)
    full = np.rint(inside - taken)
    reaches = Reaches(
        place=place, face=face, side=pairs.side, depth=depth,
        order=order, first=first, counted=counted,
    )  # fmt: skip
    promise = full + room.promises.least(reaches, count)
    likely = np.maximum(promise, full + room.promises.likely(reaches, count))
    return (
        full.astype(np.int64),
        np.rint(cut).astype(np.int64),
        np.rint(promise).astype(np.int64),
        np.rint(likely).astype(np.int64),
    )


def _grouped(line: Ints, i: Ints, j: Ints) -> tuple[Ints, Ints]:
    """Return the order that brings equal positions together, and where each begins."""
    if not len(i):
        return i, i
    low_i, low_j = i.min(), j.min()
    wide_i, wide_j = i.max() - low_i + 1, j.max() - low_j + 1
    key = (line * wide_j + (j - low_j)) * wide_i + (i - low_i)
    order = np.argsort(key, kind="stable")
    ranked = key[order]
    opens = np.concatenate([[True], ranked[1:] != ranked[:-1]])
    return order, np.flatnonzero(opens)


def _met(inset: Floats, start: Floats, end: Floats) -> tuple[Ints, Pairs]:
    """Return every inset face that a side enters, and the origin each belongs to."""
    high, low = inset[:, :, 1].max(axis=1), inset[:, :, 1].min(axis=1)
    top = np.maximum(start[:, :, 1], end[:, :, 1])[:, None, :] - low[None, :, None]
    bottom = np.minimum(start[:, :, 1], end[:, :, 1])[:, None, :] - high[None, :, None]
    first = np.floor(bottom).astype(np.int64) + 1
    last = np.ceil(top).astype(np.int64) - 1
    owner, rank = spread(np.maximum(last - first + 1, 0).ravel())
    row = first.ravel()[owner] + rank
    rest, side = np.divmod(owner, start.shape[1])
    place, face = np.divmod(rest, len(inset))
    left, right = row_slices(
        (inset[face], after(inset)[face]), start[place, side], end[place, side], row
    )
    begin = np.floor(left).astype(np.int64) + 1
    until = np.ceil(right).astype(np.int64) - 1
    owner, rank = spread(np.maximum(until - begin + 1, 0))
    pairs = Pairs(
        face=face[owner], side=side[owner], i=begin[owner] + rank, j=row[owner]
    )
    return place[owner], pairs


def _inside(
    grid: Grid, start: Floats, end: Floats, cut: tuple[Ints, Ints, Ints, Ints]
) -> tuple[np.ndarray, Ints]:
    """Return the middles inside for each origin, and which cut positions are inside."""
    faces = len(grid.middle)
    middle_y = grid.middle[None, :, None, 1]
    low = np.minimum(start[:, :, 1], end[:, :, 1])[:, None, :] - middle_y
    high = np.maximum(start[:, :, 1], end[:, :, 1])[:, None, :] - middle_y
    first = np.ceil(low).astype(np.int64)
    last = np.ceil(high).astype(np.int64) - 1
    owner, rank = spread(np.maximum(last - first + 1, 0).ravel())
    row = first.ravel()[owner] + rank
    rest, side = np.divmod(owner, start.shape[1])
    place, face = np.divmod(rest, faces)
    a, b = start[place, side], end[place, side]
    rise = b[:, 1] - a[:, 1]
    share = (row + grid.middle[face, 1] - a[:, 1]) / rise
    x = a[:, 0] + share * (b[:, 0] - a[:, 0])
    reach = np.floor(x - grid.middle[face, 0]).astype(np.int64)
    sign = np.where(rise > 0, 1, -1)
    inside = np.asarray(np.bincount(place, sign * reach, minlength=len(start)))
    cut_place, cut_face, cut_i, cut_j = cut
    if not len(cut_i) or not len(row):
        return inside, np.zeros(len(cut_i), dtype=np.int64)
    lowest = min(int(row.min()), int(cut_j.min()))
    left = min(int(reach.min()), int(cut_i.min()))
    tall = max(int(row.max()), int(cut_j.max())) - lowest + 2
    wide = max(int(reach.max()), int(cut_i.max())) - left + 2
    key = ((place * faces + face) * tall + (row - lowest)) * wide + (reach - left)
    order = np.argsort(key, kind="stable")
    sums = np.concatenate([[0], np.cumsum(sign[order])])
    ranked = key[order]
    line = (cut_place * faces + cut_face) * tall + (cut_j - lowest)
    here = np.searchsorted(ranked, line * wide + (cut_i - left))
    close = np.searchsorted(ranked, (line + 1) * wide)
    return inside, np.asarray(sums[close] - sums[here])


def _depth(grid: Grid, sides: Floats, origins: Floats, pairs: Pairs) -> Floats:
    """Return how far the face reaches in from the side that cuts it."""
    normal = inward(sides)
    reach = np.einsum("ea,fva->fev", normal, grid.shape).max(axis=2)
    level = (normal * sides[:, :2]).sum(axis=1)
    side = pairs.side
    moved = origins + np.stack([pairs.i, pairs.j], axis=1) @ grid.basis.T
    return np.asarray(
        reach[pairs.face, side] + (normal[side] * moved).sum(axis=1) - level[side]
    )


def _least_depth(grid: Grid, sides: Floats, joint: int, least_area: float) -> Floats:
    """Return for face and side how deep a cut must be to be more than a sliver.

    Method: halving; 40 steps settle a thousandth of a tick.
    """
    normal = inward(sides)
    in_tile = np.einsum("fba,eb->fea", grid.turn, normal)
    far = np.einsum("fea,fva->fev", in_tile, grid.outline)
    top, bottom = far.max(axis=2), far.min(axis=2)
    low, high = np.zeros(top.shape), top - bottom
    for _ in range(40):
        middle = (low + high) / 2
        enough = _is_piece(grid, in_tile, top - middle, joint, least_area)
        high = np.where(enough, middle, high)
        low = np.where(enough, low, middle)
    return np.asarray(high - 0.5)


def _is_piece(
    grid: Grid, in_tile: Floats, level: Floats, joint: int, least_area: float
) -> np.ndarray:
    """Return whether what lies beyond a level of each face is more than a sliver."""
    outline = grid.outline[:, None, :, :]
    depth = np.einsum("fea,fva->fev", in_tile, grid.outline) - level[:, :, None]
    following = np.concatenate([depth[:, :, 1:], depth[:, :, :1]], axis=2)
    change = depth - following
    share = np.divide(
        depth, change, out=np.zeros(depth.shape), where=np.abs(change) > 1e-9
    )
    way = (grid.outline_next - grid.outline)[:, None, :, :]
    crossing = outline + share[..., None] * way
    inside = depth >= 0
    crosses = inside != (following >= 0)
    points = np.concatenate(
        [np.broadcast_to(outline, crossing.shape), crossing], axis=2
    )
    kept = np.concatenate([inside, crosses], axis=2)[..., None]
    high = np.where(kept, points, -np.inf).max(axis=2)
    low = np.where(kept, points, np.inf).min(axis=2)
    size = np.where(np.isfinite(high), high - low, 0)
    # The box bounds the piece; half of it is the least a convex piece can fill.
    return np.asarray(
        (size.min(axis=2) >= joint) & (size.prod(axis=2) / 2 >= least_area)
    )
