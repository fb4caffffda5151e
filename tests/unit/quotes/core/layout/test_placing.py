"""Every tile where it lies: the sum of what is drawn is what was counted."""

from __future__ import annotations

from fractions import Fraction

import pytest

from materials.core.lengths import MM
from quotes.core.geometry import doubled_area
from quotes.core.layout.counting import count
from quotes.core.layout.grid import grid_of
from quotes.core.layout.placing import full_places, placed_faces, placed_rings
from quotes.core.layout.records import Rules, SetOut, box, rectangle
from tests.pattern_proof import built


@pytest.mark.parametrize("angle", [0, 45, 20])
@pytest.mark.parametrize(
    ("key", "sizes"),
    [
        ("stack", {"length": 300, "width": 200}),
        ("herringbone", {"length": 300, "width": 100}),
        ("octagon_dot", {"across": 200}),
        ("modular", {"module": 100}),
    ],
)
def test_as_many_tiles_are_placed_as_counted(
    key: str, sizes: dict[str, object], angle: int
) -> None:
    surface = rectangle(
        2100 * MM, 1500 * MM, holes=(box(700 * MM, 500 * MM, 300 * MM, 200 * MM),)
    )
    set_out = SetOut(origin=(777, 12_345), angle=Fraction(angle))
    tally = count(surface, built(key, "3", **sizes), set_out, Rules())
    grid = grid_of(tally.lattice, tally.set_out.angle)

    places = full_places(tally, grid)
    rings = placed_faces(tally, grid, places)
    cut = [ring for piece in tally.pieces for ring in placed_rings(tally, grid, piece)]

    assert len(rings) == tally.full_count
    assert len(cut) == sum(piece.count for piece in tally.pieces)
    drawn = sum(doubled_area(ring) for ring in [*rings, *cut]) / 2
    outlines = sum(doubled_area(p.outline) * p.count for p in tally.pieces) / 2
    laid = float(tally.laid_area) - sum(p.area * p.count for p in tally.pieces)
    assert abs(drawn - laid - outlines) < 2e-6 * drawn
    assert all(
        -2 <= x <= 2100 * MM + 200 and -200 <= y <= 1500 * MM + 200
        for ring in rings
        for x, y in ring
    )
