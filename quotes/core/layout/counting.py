"""Count the tiles of one surface: whole ones, cut ones, and every cut piece."""

from __future__ import annotations

from fractions import Fraction

import numpy as np

from materials.core.errors import OutOfRange
from quotes.core.geometry import Ints
from quotes.core.layout.clip import Cutter, Pieces
from quotes.core.layout.grid import Grid, grid_of
from quotes.core.layout.records import PieceClass, Rules, SetOut, Surface, Tally
from quotes.core.layout.sparse import full_counts, meetings
from quotes.core.pattern import Lattice

MOST_CUTS = 400_000
"""More cut tiles than this on one surface is a typing error, not a room."""


def count(surface: Surface, lattice: Lattice, set_out: SetOut, rules: Rules) -> Tally:
    """Return the tiles of one surface.

    A position counts when its face, inset by the tolerance, meets the tiled region; it
    is full when that inset face lies inside, else cut. Parts below 10 mm × tolerance
    are dropped; pieces narrower than the joint are absorbed: listed, not bought.

    Raises: BadShape when the gap leaves nothing; OutOfRange for a tolerance that
    leaves nothing of a tile, or more cuts than any room has.
    Method: exact; only tiles that an edge meets are made, O(perimeter).
    """
    grid = grid_of(lattice, set_out.angle)
    check_tolerance(lattice, rules)
    region = surface.region(rules)
    origin = np.array(set_out.origin, dtype=np.float64)
    check_size(grid, region.sides)
    met = meetings(grid, region.sides, origin, rules.tolerance)
    full = full_counts(grid, region.sides, origin, met)
    cutter = Cutter(
        grid=grid,
        region=region,
        origin=origin,
        met=met,
        least_area=rules.least_area,
    )
    rows = cutter.pieces()
    places = np.stack([met.face, met.i, met.j], axis=1)
    kept, absorbed = _sorted_out(rows, places, lattice)
    count_of = len(lattice.items)
    full_by_item = np.bincount(grid.item, full, minlength=count_of)
    laid = sum(
        (
            Fraction(int(n)) * item.area
            for n, item in zip(full_by_item, lattice.items, strict=True)
        ),
        Fraction(sum(piece.area * piece.count for piece in kept)),
    )
    return Tally(
        surface=surface,
        lattice=lattice,
        set_out=set_out,
        full=tuple(int(n) for n in full_by_item),
        cut=_cut_positions(kept, grid, count_of),
        pieces=kept,
        absorbed=absorbed,
        tiled_area=region.area,
        laid_area=laid,
        sides=region.sides,
        met_places=places[met.is_cut],
    )


def check_tolerance(lattice: Lattice, rules: Rules) -> None:
    """Refuse a tolerance that leaves nothing of the smallest tile."""
    for item in lattice.items:
        across = [x for x, _ in item.outline]
        up = [y for _, y in item.outline]
        if 4 * rules.tolerance >= min(max(across) - min(across), max(up) - min(up)):
            raise OutOfRange(
                "tolerance is as large as a quarter of the tile; "
                "give the accuracy of the tape.",
                field="tolerance",
            )


def check_size(grid: Grid, sides: np.ndarray) -> None:
    """Refuse a surface whose edge passes more tiles than any room has."""
    length = np.hypot(sides[:, 2] - sides[:, 0], sides[:, 3] - sides[:, 1]).sum()
    step = np.sqrt(abs(np.linalg.det(grid.basis)))
    if length / step * len(grid.item) > MOST_CUTS:
        raise OutOfRange(
            f"The surface would have more than {MOST_CUTS} cut tiles; "
            "check unit, tile and outline.",
            field="surfaces",
        )


def _sorted_out(
    rows: list[Pieces], places: Ints, lattice: Lattice
) -> tuple[tuple[PieceClass, ...], tuple[PieceClass, ...]]:
    kept: list[PieceClass] = []
    absorbed: list[PieceClass] = []
    for row in rows:
        piece = PieceClass(
            item=row.item,
            outline=row.outline,
            area=row.area,
            count=len(row.members),
            places=places[row.members],
        )
        narrow = piece.smallest_side < lattice.joint
        (absorbed if narrow else kept).append(piece)
    return _by_size(kept), _by_size(absorbed)


def _by_size(found: list[PieceClass]) -> tuple[PieceClass, ...]:
    return tuple(sorted(found, key=lambda p: (p.item, -p.area, p.outline)))


def _cut_positions(
    kept: tuple[PieceClass, ...], grid: Grid, count_of: int
) -> tuple[int, ...]:
    """Return how many positions of each item keep at least one piece."""
    if not kept:
        return (0,) * count_of
    places: Ints = np.concatenate([piece.places for piece in kept])
    low = places.min(axis=0)
    wide = places.max(axis=0) - low + 1
    steps = places - low
    key = (steps[:, 0] * wide[1] + steps[:, 1]) * wide[2] + steps[:, 2]
    _, lead = np.unique(key, return_index=True)
    counts = np.bincount(grid.item[places[lead, 0]], minlength=count_of)
    return tuple(int(n) for n in counts)
