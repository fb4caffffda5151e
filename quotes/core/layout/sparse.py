"""Counting without creating the inner tiles: only tiles that an edge meets are listed.

Terms. A *position* is (face, i, j): a face of the cell moved by i and j basis steps.
Several origins are counted in one pass, each with *copies* of the sides of its own.
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
class Pairs:
    """Sides against positions: one row a pair."""

    face: Ints
    side: Ints
    i: Ints
    j: Ints

    def taken(self, rows: np.ndarray) -> Pairs:
        """Return some of the pairs."""
        return Pairs(
            face=self.face[rows], side=self.side[rows], i=self.i[rows], j=self.j[rows]
        )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Meeting:
    """Which side meets which position: one row a pair, and one row a position.

    Pairs: `side`, sorted by position, and `ends_inside` (the side ends in the face).
    Positions: `copy` (which origin), `face`, `i`, `j`, `sides` (how many sides meet
    it), `first` (its first pair) and `is_cut` (a side passes through the face inset by
    the tolerance). Sides are counted through all copies: `moved` holds them, each
    as seen from its own origin.
    """

    moved: Floats
    side: Ints
    ends_inside: np.ndarray
    copy: Ints
    face: Ints
    i: Ints
    j: Ints
    sides: Ints
    first: Ints
    is_cut: np.ndarray


def meetings(grid: Grid, sides: Floats, origins: Floats, tolerance: float) -> Meeting:
    """Return every position that some side enters, for each origin.

    Units: ticks. Shape: `origins` is (n, 2).
    Method: the integer points inside side ⊕ (−face), sliced row by row; O(perimeter).
    """
    moved = seen_from(origins, sides)
    start, end = moved[:, :2] @ grid.inverse.T, moved[:, 2:] @ grid.inverse.T
    pairs = _candidates(grid, start, end)
    near, far = _depths(grid, moved, pairs)
    entered = _passes(near, far, _HAIR)
    if not entered.all():
        near, far = near[:, entered], far[:, entered]
        pairs = pairs.taken(entered)
    deep = _passes(near, far, max(tolerance, _HAIR))
    if not len(pairs.face):
        return Meeting(
            moved=moved, side=_NONE, copy=_NONE, face=_NONE, i=_NONE, j=_NONE,
            sides=_NONE, first=_NONE,
            ends_inside=np.zeros(0, dtype=bool), is_cut=np.zeros(0, dtype=bool),
        )  # fmt: skip
    i, j = pairs.i, pairs.j
    copy = pairs.side // len(sides)
    line = copy * len(grid.item) + pairs.face
    key = (line * _ROW + (j - j.min())) * _ROW + (i - i.min())
    order = np.argsort(key, kind="stable")
    ranked = key[order]
    opens = np.empty(len(ranked), dtype=bool)
    opens[0] = True
    np.not_equal(ranked[1:], ranked[:-1], out=opens[1:])
    first = np.flatnonzero(opens)
    lead = order[first]
    return Meeting(
        moved=moved,
        side=pairs.side[order],
        ends_inside=far.min(axis=0)[order] > _HAIR,
        copy=copy[lead],
        face=pairs.face[lead],
        i=i[lead],
        j=j[lead],
        sides=np.diff(first, append=len(ranked)),
        first=first,
        is_cut=np.logical_or.reduceat(deep[order], first),
    )


def seen_from(origins: Floats, sides: Floats) -> Floats:
    """Return the sides as each origin sees them, all of one after all of another."""
    shift = np.concatenate([origins, origins], axis=1)
    return np.asarray((sides[None, :, :] - shift[:, None, :]).reshape(-1, 4))


def spread(counts: Ints) -> tuple[Ints, Ints]:
    """Return for each counted thing its owner and its rank: [2, 1] → 0 0 1, 0 1 0."""
    owner = np.repeat(np.arange(len(counts)), counts)
    begin = np.cumsum(counts) - counts
    return owner, np.arange(len(owner)) - begin[owner]


def _candidates(grid: Grid, start: Floats, end: Floats) -> Pairs:
    """Return every position that a side may enter, and some beside them.

    Row by row: the stretch of the side as high as the face is there, and the faces
    whose own stretch reaches it.
    """
    low, high = grid.units.min(axis=1), grid.units.max(axis=1)
    top = np.maximum(start[:, 1], end[:, 1])[None, :] - low[:, 1, None]
    bottom = np.minimum(start[:, 1], end[:, 1])[None, :] - high[:, 1, None]
    first = np.floor(bottom).astype(np.int64) + 1
    last = np.ceil(top).astype(np.int64) - 1
    owner, rank = spread(np.maximum(last - first + 1, 0).ravel())
    row = first.ravel()[owner] + rank
    face, side = np.divmod(owner, len(start))
    x, y = start[side, 0], start[side, 1]
    run, rise = end[side, 0] - x, end[side, 1] - y
    level = np.abs(rise) <= 1e-12
    safe = np.where(level, 1, rise)
    one = np.clip(np.where(level, 0, (row + low[face, 1] - y) / safe), 0, 1)
    other = np.clip(np.where(level, 1, (row + high[face, 1] - y) / safe), 0, 1)
    one, other = x + one * run, x + other * run
    begin = np.floor(np.minimum(one, other) - high[face, 0]).astype(np.int64) + 1
    until = np.ceil(np.maximum(one, other) - low[face, 0]).astype(np.int64) - 1
    owner, rank = spread(np.maximum(until - begin + 1, 0))
    return Pairs(
        face=face[owner], side=side[owner], i=begin[owner] + rank, j=row[owner]
    )


def row_slices(
    corners: tuple[Floats, Floats], start: Floats, end: Floats, row: Ints
) -> tuple[Floats, Floats]:
    """Return left and right end of each row through side ⊕ (−face).

    The outline of the sum is made of moved sides (one a corner) and, at both ends of
    the side, of the face's own sides turned about; each crosses the row or not.
    Shape: `corners` are each row's face corners and the ones that follow them.
    """
    here, following = corners
    corner_x, corner_y = here[:, :, 0], here[:, :, 1]
    level = row[:, None]
    start_x, start_y = start[:, :1], start[:, 1:]
    rise = end[:, 1:] - start_y
    flat = np.abs(rise) <= 1e-12
    share = (level + corner_y - start_y) / np.where(flat, 1, rise)
    x = start_x - corner_x + share * (end[:, :1] - start_x)
    ends = [_ends(x, (share >= 0) & (share <= 1) & ~flat)]
    step = following[:, :, 1] - corner_y
    level_side = np.abs(step) <= 1e-12
    safe = np.where(level_side, 1, step)
    run = following[:, :, 0] - corner_x
    for tip in (start, end):
        share = (tip[:, 1:] - level - corner_y) / safe
        x = tip[:, :1] - corner_x - share * run
        ends.append(_ends(x, (share >= 0) & (share <= 1) & ~level_side))
    left = np.minimum(np.minimum(ends[0][0], ends[1][0]), ends[2][0])
    right = np.maximum(np.maximum(ends[0][1], ends[1][1]), ends[2][1])
    empty = left > right
    return np.where(empty, 0, left), np.where(empty, 0, right)


def _ends(x: Floats, crosses: np.ndarray) -> tuple[Floats, Floats]:
    return (
        np.where(crosses, x, np.inf).min(axis=1),
        np.where(crosses, x, -np.inf).max(axis=1),
    )


def _depths(grid: Grid, sides: Floats, pairs: Pairs) -> tuple[Floats, Floats]:
    """Return how far inside each side of the face both ends of each pair's side lie.

    Shape: a row for each side of a face, a column for each pair: long rows are quick.
    """
    basis = grid.basis
    moved_x = basis[0, 0] * pairs.i + basis[0, 1] * pairs.j
    moved_y = basis[1, 0] * pairs.i + basis[1, 1] * pairs.j
    normal_x, normal_y = np.take(grid.normals.T, pairs.face, axis=2)
    support = np.take(grid.support.T, pairs.face, axis=1)
    start_x, start_y, end_x, end_y = np.take(sides.T, pairs.side, axis=1)
    near = normal_x * (start_x - moved_x) + normal_y * (start_y - moved_y) - support
    far = normal_x * (end_x - moved_x) + normal_y * (end_y - moved_y) - support
    return near, far


def _passes(near: Floats, far: Floats, inset: float) -> np.ndarray:
    """Return whether a side passes through an inset face, clipped side by side."""
    a, b = near - inset, far - inset
    change = a - b
    share = a / np.where(np.abs(change) > 1e-12, change, 1)
    outside_a, outside_b = a <= 0, b <= 0
    enters = np.where(outside_a > outside_b, share, 0).max(axis=0)
    leaves = np.where(outside_b > outside_a, share, 1).min(axis=0)
    outside = (outside_a & outside_b).any(axis=0)
    return np.asarray(~outside & (enters < leaves))


def full_counts(grid: Grid, met: Meeting, copies: int) -> Ints:
    """Return how many positions of each face lie wholly inside, for each origin.

    Shape: origin, face.
    Method: signed row sums of crossings count the faces whose middle lies inside;
    those that a side cuts are taken off again, by the very same crossings.
    """
    faces, sides = len(grid.item), len(met.moved) // copies
    start, end = met.moved[:, :2] @ grid.inverse.T, met.moved[:, 2:] @ grid.inverse.T
    low = np.minimum(start[:, 1], end[:, 1])[None, :] - grid.middle[:, 1, None]
    high = np.maximum(start[:, 1], end[:, 1])[None, :] - grid.middle[:, 1, None]
    first = np.ceil(low).astype(np.int64)
    last = np.ceil(high).astype(np.int64) - 1
    owner, rank = spread(np.maximum(last - first + 1, 0).ravel())
    row = first.ravel()[owner] + rank
    face, side = np.divmod(owner, len(start))
    rise = end[side, 1] - start[side, 1]
    share = (row + grid.middle[face, 1] - start[side, 1]) / rise
    x = start[side, 0] + share * (end[side, 0] - start[side, 0])
    reach = np.floor(x - grid.middle[face, 0]).astype(np.int64)
    sign = np.where(rise > 0, 1, -1)
    line = side // sides * faces + face
    most = copies * faces
    inside = np.bincount(line, sign * reach, minlength=most).astype(np.int64)
    cut = np.flatnonzero(met.is_cut)
    if not len(cut) or not len(row):
        return inside.reshape(copies, faces)
    lowest = min(int(row.min()), int(met.j.min()))
    left = min(int(reach.min()), int(met.i.min()))
    key = (line * _ROW + (row - lowest)) * _ROW + (reach - left)
    order = np.argsort(key, kind="stable")
    sums = np.concatenate([[0], np.cumsum(sign[order])])
    ranked = key[order]
    of_cut = met.copy[cut] * faces + met.face[cut]
    cut_line = of_cut * _ROW + (met.j[cut] - lowest)
    from_here = np.searchsorted(ranked, cut_line * _ROW + (met.i[cut] - left))
    to_end = np.searchsorted(ranked, (cut_line + 1) * _ROW)
    within = sums[to_end] - sums[from_here]
    taken = np.bincount(of_cut, within, minlength=most)
    return (inside - taken.astype(np.int64)).reshape(copies, faces)
