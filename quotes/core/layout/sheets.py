"""Mosaic: which chips each sheet gives, and what is left of a sheet in whole chips.

A sheet is `across` × `up` chips on the chips' own lattice; its edges run between
chips, so that sheets of brick chips and hexagons interlock. The mesh is cut between
chips first; only a chip that a wall falls in is cut through, and its rest is lost.

Allowed to hold doubles: a kernel of the layout. Only whole numbers leave it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from quotes.core.geometry import Floats, Ints, turned
from quotes.core.layout.free import Rectangle, free_tiles
from quotes.core.layout.grid import Grid, grid_of
from quotes.core.layout.placing import full_places
from quotes.core.layout.records import Tally


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """A sheet in chips: how many along its length and its width.

    `interlocks` says that every second row stands half a chip along, so that a rest
    fits another place only by whole pairs of rows.
    """

    across: int
    up: int
    interlocks: bool
    turns: bool

    @property
    def chips(self) -> int:
        """Chips on one sheet."""
        return self.across * self.up


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetCount:
    """Sheets of one lot: by area, with rests used again, and without.

    `whole` sheets are laid uncut; `parts` places take less than a sheet.
    """

    chips: int
    area_bound: int
    whole: int
    parts: int
    reused: int

    @property
    def no_reuse(self) -> int:
        """Sheets when the rest of a cut sheet is thrown away."""
        return self.whole + self.parts


def sheets_needed(tallies: Sequence[Tally], sheet: Sheet) -> SheetCount:
    """Return how many sheets the chips of several surfaces take.

    On each surface sheets begin at its lowest row and its first column of chips. What
    a place takes of a sheet is the bounding block of its chips; blocks share a sheet
    along chip lines, no blade between them.

    Units: sheets. Method: heuristic packing of blocks, never below the bound by chips.
    """
    chips = whole = 0
    blocks: Counter[tuple[int, int]] = Counter()
    for tally in tallies:
        column, row = chip_numbers(tally)
        chips += len(column)
        for across, up, count in _blocks(column, row, sheet):
            if count == sheet.chips:
                whole += 1
            else:
                blocks[across, up] += 1
    bound = -(-chips // sheet.chips)
    packed = _packed(blocks, sheet)
    return SheetCount(
        chips=chips,
        area_bound=bound,
        whole=whole,
        parts=blocks.total(),
        reused=max(bound, whole + packed),
    )


def chip_numbers(tally: Tally) -> tuple[Ints, Ints]:
    """Return column and row of every chip laid, whole or cut.

    Every second row of an interlocking lattice counts its columns from half a chip on.
    """
    grid = grid_of(tally.lattice, tally.set_out.angle)
    cut = [piece.places for piece in tally.pieces]
    places = np.unique(np.concatenate([full_places(tally, grid), *cut]), axis=0)
    middles = _middles(tally, grid, places)
    across, up = tally.lattice.pitch
    row = np.rint(middles[:, 1] / up).astype(np.int64)
    shift = np.where(row % 2 == 1, half_step(tally), 0)
    column = np.rint((middles[:, 0] - shift) / across).astype(np.int64)
    return column, row


def half_step(tally: Tally) -> float:
    """Return how far along the second row of chips stands."""
    lattice = tally.lattice
    if len(lattice.faces) > 1:
        return lattice.faces[1].at[0]
    return lattice.v[0]


def _middles(tally: Tally, grid: Grid, places: Ints) -> Floats:
    """Return the middles of chips as if the pattern stood unturned at zero."""
    steps = places[:, 1:] + grid.middle[places[:, 0]] - grid.middle[0]
    moved = steps @ grid.basis.T
    back = np.array([turned((1, 0), -tally.set_out.angle)])
    cosine, sine = back[0]
    x, y = moved[:, 0], moved[:, 1]
    return np.stack([x * cosine - y * sine, x * sine + y * cosine], axis=1)


def _blocks(column: Ints, row: Ints, sheet: Sheet) -> list[tuple[int, int, int]]:
    """Return width, height and number of the chips each sheet's place takes."""
    if not len(row):
        return []
    begin = int(row.min())
    # Pairs of rows stay pairs: an interlocking sheet begins on an even row.
    begin -= begin % 2 if sheet.interlocks else 0
    place_x, x = np.divmod(column - column.min(), sheet.across)
    place_y, y = np.divmod(row - begin, sheet.up)
    _, which = np.unique(
        np.stack([place_x, place_y], axis=1), axis=0, return_inverse=True
    )
    which = which.ravel()
    count = np.bincount(which)
    low_x, high_x = _ends(which, x, len(count))
    low_y, high_y = _ends(which, y, len(count))
    if sheet.interlocks:
        low_y -= low_y % 2
        high_y = np.minimum(high_y | 1, sheet.up - 1)
    wide, high = high_x - low_x + 1, high_y - low_y + 1
    return list(zip(wide.tolist(), high.tolist(), count.tolist(), strict=True))


def _ends(which: Ints, value: Ints, count: int) -> tuple[Ints, Ints]:
    low = np.full(count, np.iinfo(np.int64).max)
    high = np.full(count, -1)
    np.minimum.at(low, which, value)
    np.maximum.at(high, which, value)
    return low, high


def _packed(blocks: Counter[tuple[int, int]], sheet: Sheet) -> int:
    """Return the sheets that blocks of chips come from, cut along chip lines."""
    pair = 2 if sheet.interlocks else 1
    # The odd last row of a sheet goes with the pair before it.
    pairs = max(1, sheet.up // pair)
    pieces = [
        Rectangle(across, min(-(-up // pair), pairs), count)
        for (across, up), count in sorted(blocks.items())
    ]
    if not pieces:
        return 0
    found = free_tiles(
        pieces,
        length=sheet.across,
        width=pairs,
        kerf=0,
        turning=sheet.turns,
    )
    return min(found, blocks.total())
