"""Outlines of pieces as rows of whole ticks: which are alike, and what they look like.

A row holds the corners of one outline in order; short ones repeat a corner.

Allowed to hold doubles: a kernel of the layout. Whole ticks leave it.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from quotes.core.geometry import Floats, Ints, TickRing

_FACTORS = np.random.default_rng(20_011).integers(1, 2**62, size=64, dtype=np.int64)
"""Odd and even alike: they only have to mix the corners of a piece into one key."""


def packed(rings: Sequence[Floats]) -> Floats:
    """Return outlines of different lengths as rows: short ones repeat their last."""
    most = max((len(ring) for ring in rings), default=3)
    rows = np.empty((len(rings), most, 2))
    for row, ring in zip(rows, rings, strict=True):
        row[: len(ring)] = ring
        row[len(ring) :] = ring[-1]
    return rows


def alike(item: Ints, holes: Ints, corners: Ints) -> tuple[list[Ints], Ints]:
    """Return the rows grouped by item, holes and corners, and the first of each group.

    Method: sort by a mixed 64-bit key, then split; rows whose keys agree by accident
    would need corners that differ, so every row is checked against the one before.
    """
    flat = np.empty((len(item), 2 + corners.shape[1] * 2), dtype=np.int64)
    flat[:, 0], flat[:, 1] = item, holes
    flat[:, 2:] = corners.reshape(len(item), -1)
    factors = _FACTORS[: flat.shape[1]]
    if len(factors) < flat.shape[1]:
        factors = np.resize(_FACTORS, flat.shape[1])
    order = np.argsort(flat @ factors, kind="stable")
    ranked = flat[order]
    begins = np.flatnonzero((ranked[1:] != ranked[:-1]).any(axis=1)) + 1
    bounds = [0, *begins.tolist(), len(order)]
    groups = [order[a:b] for a, b in pairwise(bounds)]
    return groups, order[bounds[:-1]]


def tidied_rings(corners: Ints) -> list[TickRing]:
    """Return the outlines of rows, tidy; one of no area is empty.

    Method: repeated corners fall away for all rows at once; the few rows with a
    corner that stands for nothing else go one by one.
    """
    kept = (corners != np.concatenate([corners[:, 1:], corners[:, :1]], axis=1)).any(
        axis=2
    )
    points = corners[kept]
    ends = np.cumsum(kept.sum(axis=1))
    begins = np.concatenate([[0], ends[:-1]])
    real = ends > begins
    following = np.arange(1, len(points) + 1)
    following[ends[real] - 1] = begins[real]
    run = points[following] - points
    before = np.empty_like(run)
    before[following] = run
    cross = before[:, 0] * run[:, 1] - before[:, 1] * run[:, 0]
    longest = np.abs(np.concatenate([run, before, run + before], axis=1)).max(axis=1)
    flat = np.concatenate([[0], np.cumsum(np.abs(cross) <= longest)])
    odd = (flat[ends] > flat[begins]) | (ends < begins + 3)
    corner: list[tuple[int, int]] = list(map(tuple, points.tolist()))
    return [
        tidied(corner[a:b]) if slow else _from_least(corner[a:b])
        for a, b, slow in zip(begins.tolist(), ends.tolist(), odd.tolist(), strict=True)
    ]


def _from_least(ring: list[tuple[int, int]]) -> TickRing:
    least = ring.index(min(ring))
    return (*ring[least:], *ring[:least])


def tidied(corners: list[tuple[int, int]]) -> TickRing:
    """Return a ring without repeated or flat corners, its least corner first.

    Corners are taken away one after another, each judged by the neighbours it still
    has: of two corners a tick apart, each looks flat beside the other, and one of them
    is the corner of the piece.
    """
    ring = [
        corner
        for corner, following in zip(corners, [*corners[1:], *corners[:1]], strict=True)
        if corner != following
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
    return _from_least(ring)


def _is_flat(
    before: tuple[int, int], here: tuple[int, int], after: tuple[int, int]
) -> bool:
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
