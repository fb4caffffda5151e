"""Count the tiles of one surface: whole ones, cut ones, and every cut piece."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from materials.core.errors import OutOfRange
from quotes.core.geometry import Ints, Region
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
    return count_each(surface, lattice, [set_out], rules)[0]


def count_each(
    surface: Surface, lattice: Lattice, set_outs: Sequence[SetOut], rules: Rules
) -> list[Tally]:
    """Return the tiles of one surface for several set-outs at one angle.

    The same as counting one by one, in one pass: most of a count of a small room is
    the calling of the pass.

    Raises: as `count`.
    """
    grid = grid_of(lattice, set_outs[0].angle)
    check_tolerance(lattice, rules)
    region = surface.region(rules)
    origins = np.array([set_out.origin for set_out in set_outs], dtype=np.float64)
    check_size(grid, region.sides)
    met = meetings(grid, region.sides, origins, rules.tolerance)
    full = full_counts(grid, met, len(set_outs))
    cutter = Cutter(
        grid=grid, region=region, origins=origins, met=met, least_area=rules.least_area
    )
    places = np.stack([met.face, met.i, met.j], axis=1)
    rows: list[list[Pieces]] = [[] for _ in set_outs]
    for piece in cutter.pieces():
        rows[piece.copy].append(piece)
    frame = _Frame(surface=surface, lattice=lattice, region=region, grid=grid)
    return [
        frame.tally(
            set_out, full[copy], _sorted_out(rows[copy], places, lattice),
            places[met.is_cut & (met.copy == copy)],
        )
        for copy, set_out in enumerate(set_outs)
    ]  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Frame:
    """What all set-outs of one surface share."""

    surface: Surface
    lattice: Lattice
    region: Region
    grid: Grid

    def tally(
        self,
        set_out: SetOut,
        full: Ints,
        pieces: tuple[tuple[PieceClass, ...], tuple[PieceClass, ...]],
        met_places: Ints,
    ) -> Tally:
        """Return what one set-out takes; `full` by face."""
        kept, absorbed = pieces
        items = self.lattice.items
        full_by_item = np.bincount(self.grid.item, full, minlength=len(items))
        laid = sum(
            (
                Fraction(int(n)) * item.area
                for n, item in zip(full_by_item, items, strict=True)
            ),
            Fraction(sum(piece.area * piece.count for piece in kept)),
        )
        return Tally(
            surface=self.surface,
            lattice=self.lattice,
            set_out=set_out,
            full=tuple(int(n) for n in full_by_item),
            cut=_cut_positions(kept, self.grid, len(items)),
            pieces=kept,
            absorbed=absorbed,
            tiled_area=self.region.area,
            laid_area=laid,
            sides=self.region.sides,
            met_places=met_places,
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
