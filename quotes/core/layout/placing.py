"""Where tiles lie on the surface: for drawing, the only reader of the inner tiles.

Allowed to hold doubles: a kernel of the layout. Corners leave it as whole ticks.
"""

from __future__ import annotations

import numpy as np

from quotes.core.geometry import Floats, Ints, TickRing
from quotes.core.layout.grid import Grid
from quotes.core.layout.records import PieceClass, Tally


def full_places(tally: Tally, grid: Grid) -> Ints:
    """Return face, i, j of every full position, one a row.

    Method: every position of the bounding box whose middle lies inside and which no
    side cuts; O(area), unlike the count.
    """
    from_sides = tally.sides
    origin = np.array(tally.set_out.origin)
    low, high = from_sides[:, :2].min(axis=0), from_sides[:, :2].max(axis=0)
    corners = np.array([[x, y] for x in (low[0], high[0]) for y in (low[1], high[1])])
    steps = (corners - origin) @ grid.inverse.T
    first = np.floor(steps.min(axis=0)).astype(np.int64) - 2
    last = np.ceil(steps.max(axis=0)).astype(np.int64) + 2
    j, i = np.mgrid[first[1] : last[1] + 1, first[0] : last[0] + 1]
    cells = np.stack([i.ravel(), j.ravel()], axis=1)
    found = []
    for face in range(len(grid.item)):
        middles = origin + (cells + grid.middle[face]) @ grid.basis.T
        near = (middles >= low).all(axis=1) & (middles <= high).all(axis=1)
        rows, middles = cells[near], middles[near]
        inside = _inside(middles, from_sides)
        rows = rows[inside]
        clear = _uncut(tally.met_places, face, rows)
        found.append(np.column_stack([np.full(int(clear.sum()), face), rows[clear]]))
    return np.concatenate(found).astype(np.int64)


def _inside(points: Floats, sides: Floats) -> np.ndarray:
    x, y = points[:, 0, None], points[:, 1, None]
    x1, y1, x2, y2 = sides.T
    crosses = (y1 <= y) != (y2 <= y)
    rise = np.where(y2 == y1, 1, y2 - y1)
    at = x1 + (y - y1) * (x2 - x1) / rise
    return np.asarray((crosses & (x < at)).sum(axis=1) % 2 == 1)


def _uncut(met_places: Ints, face: int, rows: Ints) -> np.ndarray:
    """Return which rows no side cuts."""
    cut = {(i, j) for f, i, j in met_places.tolist() if f == face}
    return np.array([(int(i), int(j)) not in cut for i, j in rows.tolist()], dtype=bool)


def placed_faces(tally: Tally, grid: Grid, places: Ints) -> list[TickRing]:
    """Return the outlines of whole faces in the surface, in ticks."""
    rings: list[TickRing] = []
    origin = np.array(tally.set_out.origin)
    for face in range(len(grid.item)):
        corners = len(tally.lattice.items[int(grid.item[face])].outline)
        rows = places[places[:, 0] == face]
        moved = origin + rows[:, 1:] @ grid.basis.T
        shapes = grid.shape[face, :corners] + moved[:, None, :]
        rings.extend(_rings(shapes))
    return rings


def placed_rings(tally: Tally, grid: Grid, piece: PieceClass) -> list[TickRing]:
    """Return the outline of every piece of a class in the surface, in ticks."""
    origin = np.array(tally.set_out.origin)
    outline = np.array(piece.outline, dtype=np.float64)
    face = piece.places[:, 0]
    begin = origin + piece.places[:, 1:] @ grid.basis.T + grid.start[face]
    turned = np.einsum("nab,vb->nva", grid.turn[face], outline)
    return _rings(turned + begin[:, None, :])


def _rings(shapes: Floats) -> list[TickRing]:
    whole = np.rint(shapes).astype(np.int64).tolist()
    return [tuple((x, y) for x, y in ring) for ring in whole]
