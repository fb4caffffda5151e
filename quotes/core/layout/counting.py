"""Count the tiles of one surface: whole ones, cut ones, and every cut piece."""

from __future__ import annotations

import math
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
    frame = _Frame(
        surface=surface, lattice=lattice, region=region, grid=grid, places=places
    )
    return [
        frame.tally(
            set_out, full[copy], rows[copy],
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
    places: Ints

    def tally(
        self, set_out: SetOut, full: Ints, pieces: list[Pieces], met_places: Ints
    ) -> Tally:
        """Return what one set-out takes; `full` by face."""
        kept, absorbed, rows = self._sorted_out(pieces)
        items = self.lattice.items
        by_item = np.bincount(self.grid.item, full, minlength=len(items))
        full_by_item: list[int] = by_item.astype(np.int64).tolist()
        laid = sum(
            (n * item.area for n, item in zip(full_by_item, items, strict=True)),
            Fraction(sum(piece.area * piece.count for piece in kept)),
        )
        return Tally(
            surface=self.surface,
            lattice=self.lattice,
            set_out=set_out,
            full=tuple(full_by_item),
            cut=self._cut_positions(rows),
            pieces=kept,
            absorbed=absorbed,
            tiled_area=self.region.area,
            laid_area=laid,
            sides=self.region.sides,
            met_places=met_places,
        )

    def _sorted_out(
        self, found: list[Pieces]
    ) -> tuple[tuple[PieceClass, ...], tuple[PieceClass, ...], list[Ints]]:
        """Return the pieces by size, those the joints take up, and rows of the first.

        The rows are positions that sides meet.
        """
        kept: list[PieceClass] = []
        absorbed: list[PieceClass] = []
        rows: list[Ints] = []
        if not found:
            return (), (), rows
        # Taken at once, shared out as views: a class alone has a handful of places.
        placed = self.places[np.concatenate([one.members for one in found])]
        end = 0
        for one in found:
            begin, end = end, end + len(one.members)
            piece = PieceClass(
                item=one.item,
                outline=one.outline,
                area=one.area,
                count=end - begin,
                places=placed[begin:end],
            )
            if piece.smallest_side < self.lattice.joint:
                absorbed.append(piece)
            else:
                kept.append(piece)
                rows.append(one.members)
        return _by_size(kept), _by_size(absorbed), rows

    def _cut_positions(self, rows: list[Ints]) -> tuple[int, ...]:
        """Return how many positions of each item keep at least one piece."""
        keeps = np.zeros(len(self.places), dtype=bool)
        for members in rows:
            keeps[members] = True
        faces = self.places[keeps, 0]
        counts = np.bincount(self.grid.item[faces], minlength=len(self.lattice.items))
        return tuple(counts.tolist())


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
    (a, b), (c, d) = grid.basis.tolist()
    step = math.sqrt(abs(a * d - b * c))
    if length / step * len(grid.item) > MOST_CUTS:
        raise OutOfRange(
            f"The surface would have more than {MOST_CUTS} cut tiles; "
            "check unit, tile and outline.",
            field="surfaces",
        )


def _by_size(found: list[PieceClass]) -> tuple[PieceClass, ...]:
    return tuple(sorted(found, key=lambda p: (p.item, -p.area, p.outline)))
