"""Where the sheets of a mosaic meet: the lines between them, for a drawing.

Sheets begin as they are counted, at the lowest row and the first column of chips.
Where every second row stands half a chip along, an upright line runs in steps.

Allowed to hold doubles: a kernel of the layout. Only whole ticks leave it.
"""

from __future__ import annotations

import numpy as np

from quotes.core.geometry import Floats, TickPoint, lines_within, turned
from quotes.core.layout.grid import grid_of
from quotes.core.layout.records import Tally
from quotes.core.layout.sheets import Sheet, chip_numbers, half_step


def sheet_lines(tally: Tally, sheet: Sheet) -> tuple[tuple[TickPoint, ...], ...]:
    """Return the lines along which the sheets of one surface meet, inside of it.

    Rounds: corners to the nearest tick.
    """
    column, row = chip_numbers(tally)
    if not len(row):
        return ()
    across, up = tally.lattice.pitch
    first, last = int(column.min()), int(column.max())
    low, high = int(row.min()), int(row.max())
    begin = low - (low % 2 if sheet.interlocks else 0)
    shift = half_step(tally) if sheet.interlocks else 0
    ends = ((first - 1) * across, (last + 2) * across)
    lines = [
        np.array([[x, (at - 0.5) * up] for x in ends])
        for at in range(begin + sheet.up, high + 1, sheet.up)
    ]
    for at in range(first + sheet.across, last + 1, sheet.across):
        steps = [
            [(at - 0.5) * across + (shift if place % 2 else 0), (place + half) * up]
            for place in range(low - 1, high + 2)
            for half in (-0.5, 0.5)
        ]
        lines.append(np.array(steps))
    return lines_within(
        [_laid(tally, line) for line in lines],
        tally.surface.outer,
        tally.surface.holes,
    )


def _laid(tally: Tally, line: Floats) -> Floats:
    """Return a line of the unturned pattern where it lies on the surface."""
    grid = grid_of(tally.lattice, tally.set_out.angle)
    cosine, sine = turned((1, 0), tally.set_out.angle)
    turn = np.array([[cosine, -sine], [sine, cosine]])
    middle = grid.middle[0] @ grid.basis.T
    found: Floats = line @ turn.T + middle + np.array(tally.set_out.origin)
    return found
