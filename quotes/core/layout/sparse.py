"""Counting without creating the inner tiles: only tiles that an edge meets are listed.

Terms. A *position* is (face, i, j): a face of the cell moved by i and j basis steps.
A side *meets* a position when it passes through the inside of its face. Positions
that no side meets lie wholly inside or wholly outside; how many lie inside is a signed
sum over rows, so cost grows with the perimeter and not with the area.

Allowed to hold doubles: a kernel of the layout.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from quotes.core.geometry import Floats, Ints
from quotes.core.layout.grid import Grid

_HAIR = 0.01
"""A side within a hundredth of a tick of a face's own side does not enter it."""

_ROW = 1 << 24
_NONE = np.zeros(0, dtype=np.int64)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Meeting:
    """Which side meets which position: one row a pair, and one row a position.

    Pairs: `side`, `owner` (row of the position), sorted by owner. Positions: `face`,
    `i`, `j`, `sides` (how many sides meet it), `first` (its first pair) and `is_cut`
    (a side passes through the face inset by the tolerance).
    """

    side: Ints
    owner: Ints
    face: Ints
    i: Ints
    j: Ints
    sides: Ints
    first: Ints
    is_cut: np.ndarray


def meetings(grid: Grid, sides: Floats, origin: Floats, tolerance: float) -> Meeting:
    """Return every position that some side enters.

    Units: ticks. Method: the integer points inside side ⊕ (−face), sliced row by row;
    O(perimeter).
    """
    start = (sides[:, :2] - origin) @ grid.inverse.T
    end = (sides[:, 2:] - origin) @ grid.inverse.T
    face, side, i, j = _candidates(grid, start, end)
    entered, deep = _entered(
        grid, sides - np.tile(origin, 2), face, side, i, j, tolerance
    )
    face, side, i, j, deep = (
        face[entered], side[entered], i[entered], j[entered], deep[entered],
    )  # fmt: skip
    if not len(face):
        empty = _NONE
        return Meeting(
            side=empty, owner=empty, face=empty, i=empty, j=empty, sides=empty,
            first=empty, is_cut=np.zeros(0, dtype=bool),
        )  # fmt: skip
    key = (face * _ROW + (j - j.min())) * _ROW + (i - i.min())
    order = np.argsort(key, kind="stable")
    ranked = key[order]
    opens = np.empty(len(ranked), dtype=bool)
    opens[0] = True
    np.not_equal(ranked[1:], ranked[:-1], out=opens[1:])
    first = np.flatnonzero(opens)
    owner = np.cumsum(opens) - 1
    lead = order[first]
    return Meeting(
        side=side[order],
        owner=owner,
        face=face[lead],
        i=i[lead],
        j=j[lead],
        sides=np.diff(np.append(first, len(ranked))),
        first=first,
        is_cut=np.logical_or.reduceat(deep[order], first),
    )


def spread(counts: Ints) -> tuple[Ints, Ints]:
    """Return for each counted thing its owner and its rank: [2, 1] → 0 0 1, 0 1 0."""
    owner = np.repeat(np.arange(len(counts)), counts)
    begin = np.cumsum(counts) - counts
    return owner, np.arange(len(owner)) - begin[owner]


def _candidates(
    grid: Grid, start: Floats, end: Floats
) -> tuple[Ints, Ints, Ints, Ints]:
    """Return face, side, i, j of every lattice point inside side ⊕ (−face)."""
    heights = grid.units[:, :, 1]
    high, low = heights.max(axis=1), heights.min(axis=1)
    top = np.maximum(start[:, 1], end[:, 1])[None, :] - low[:, None]
    bottom = np.minimum(start[:, 1], end[:, 1])[None, :] - high[:, None]
    first = np.floor(bottom).astype(np.int64) + 1
    last = np.ceil(top).astype(np.int64) - 1
    counts = np.maximum(last - first + 1, 0).ravel()
    owner, rank = spread(counts)
    row = first.ravel()[owner] + rank
    face, side = np.divmod(owner, len(start))
    left, right = row_slices(grid.units[face], start[side], end[side], row)
    begin = np.floor(left).astype(np.int64) + 1
    until = np.ceil(right).astype(np.int64) - 1
    owner, rank = spread(np.maximum(until - begin + 1, 0))
    return face[owner], side[owner], begin[owner] + rank, row[owner]


def row_slices(
    units: Floats, start: Floats, end: Floats, row: Ints
) -> tuple[Floats, Floats]:
    """Return left and right end of each row through side ⊕ (−face).

    The outline of the sum is made of moved sides (one a corner) and, at both ends of
    the side, of the face's own sides turned about; each crosses the row or not.
    """
    corner_x, corner_y = units[:, :, 0], units[:, :, 1]
    rise = (end[:, 1] - start[:, 1])[:, None]
    share = np.divide(
        row[:, None] + corner_y - start[:, 1, None],
        rise,
        out=np.full(corner_x.shape, 2.0),
        where=np.abs(rise) > 1e-12,
    )
    run = (end[:, 0] - start[:, 0])[:, None]
    found = [_where(share, start[:, 0, None] - corner_x + share * run)]
    next_x, next_y = np.roll(corner_x, -1, axis=1), np.roll(corner_y, -1, axis=1)
    step = next_y - corner_y
    for tip in (start, end):
        level = tip[:, 1, None] - row[:, None]
        share = np.divide(
            level - corner_y,
            step,
            out=np.full(corner_x.shape, 2.0),
            where=np.abs(step) > 1e-12,
        )
        x = corner_x + share * (next_x - corner_x)
        found.append(_where(share, tip[:, 0, None] - x))
    crossings = np.concatenate(found, axis=1)
    blank = np.isnan(crossings)
    left = np.where(blank, np.inf, crossings).min(axis=1)
    right = np.where(blank, -np.inf, crossings).max(axis=1)
    empty = left > right
    return np.where(empty, 0, left), np.where(empty, 0, right)


def _where(share: Floats, x: Floats) -> Floats:
    return np.where((share >= 0) & (share <= 1), x, np.nan)


def _entered(
    grid: Grid,
    sides: Floats,
    face: Ints,
    side: Ints,
    i: Ints,
    j: Ints,
    tolerance: float,
) -> tuple[np.ndarray, np.ndarray]:
    """Return which pairs enter the face, and which enter it inset."""
    moved = np.stack([i, j], axis=1) @ grid.basis.T
    normals, support = grid.normals[face], grid.support[face]
    ends = sides[side]
    near = np.einsum("nva,na->nv", normals, ends[:, :2] - moved) - support
    far = np.einsum("nva,na->nv", normals, ends[:, 2:] - moved) - support
    return _passes(near, far, _HAIR), _passes(near, far, max(tolerance, _HAIR))


def _passes(near: Floats, far: Floats, inset: float) -> np.ndarray:
    """Return whether a side passes through an inset face, clipped side by side."""
    a, b = near - inset, far - inset
    change = a - b
    share = np.divide(a, change, out=np.zeros(a.shape), where=np.abs(change) > 1e-12)
    rising = (a <= 0) & (b > 0)
    falling = (a > 0) & (b <= 0)
    enters = np.where(rising, share, 0).max(axis=1)
    leaves = np.where(falling, share, 1).min(axis=1)
    outside = ((a <= 0) & (b <= 0)).any(axis=1)
    return np.asarray(~outside & (enters < leaves))


def full_counts(grid: Grid, sides: Floats, origin: Floats, met: Meeting) -> Ints:
    """Return how many positions of each face lie wholly inside.

    Method: signed row sums of crossings count the faces whose middle lies inside;
    those that a side cuts are taken off again, by the very same crossings.
    """
    start = (sides[:, :2] - origin) @ grid.inverse.T
    end = (sides[:, 2:] - origin) @ grid.inverse.T
    low = np.minimum(start[:, 1], end[:, 1])[None, :] - grid.middle[:, 1, None]
    high = np.maximum(start[:, 1], end[:, 1])[None, :] - grid.middle[:, 1, None]
    first = np.ceil(low).astype(np.int64)
    last = np.ceil(high).astype(np.int64) - 1
    owner, rank = spread(np.maximum(last - first + 1, 0).ravel())
    row = first.ravel()[owner] + rank
    face, side = np.divmod(owner, len(sides))
    rise = end[side, 1] - start[side, 1]
    share = (row + grid.middle[face, 1] - start[side, 1]) / rise
    x = start[side, 0] + share * (end[side, 0] - start[side, 0])
    reach = np.floor(x - grid.middle[face, 0]).astype(np.int64)
    sign = np.where(rise > 0, 1, -1)
    inside = np.bincount(face, sign * reach, minlength=len(grid.item)).astype(np.int64)
    cut = np.flatnonzero(met.is_cut)
    if not len(cut) or not len(row):
        return inside
    lowest = min(int(row.min()), int(met.j.min()))
    left = min(int(reach.min()), int(met.i.min()))
    line = face * _ROW + (row - lowest)
    key = line * _ROW + (reach - left)
    order = np.argsort(key, kind="stable")
    sums = np.concatenate([[0], np.cumsum(sign[order])])
    ranked = key[order]
    cut_line = met.face[cut] * _ROW + (met.j[cut] - lowest)
    from_here = np.searchsorted(ranked, cut_line * _ROW + (met.i[cut] - left))
    to_end = np.searchsorted(ranked, (cut_line + 1) * _ROW)
    within = sums[to_end] - sums[from_here]
    taken = np.bincount(met.face[cut], within, minlength=len(grid.item))
    return inside - np.rint(taken).astype(np.int64)
