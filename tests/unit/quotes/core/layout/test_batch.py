"""Many origins at once agree with one count each."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest

from materials.core.lengths import MM
from quotes.core.layout.batch import count_many, inset_units
from quotes.core.layout.counting import count
from quotes.core.layout.critical import grid_origins
from quotes.core.layout.grid import grid_of
from quotes.core.layout.records import Rules, SetOut, Surface, box, rectangle
from tests.pattern_proof import built

ROOM = Surface(
    outer=tuple(
        (x * MM, y * MM)
        for x, y in (
            (0, 0),
            (2000, 0),
            (2000, 900),
            (1100, 900),
            (1100, 1700),
            (0, 1700),
        )
    ),
    holes=(box(300 * MM, 300 * MM, 310 * MM, 240 * MM),),
)


@pytest.mark.parametrize("angle", [0, 45, 12])
@pytest.mark.parametrize(
    ("key", "sizes"),
    [
        ("stack", {"length": 300, "width": 200}),
        ("running_bond", {"length": 300, "width": 97, "offset": "1/3"}),
        ("herringbone", {"length": 400, "width": 93}),
        ("hexagon", {"across": 200}),
        ("modular", {"module": 150}),
        ("octagon_dot", {"across": 200}),
    ],
)
def test_many_origins_count_like_one_each(
    key: str, sizes: dict[str, object], angle: int
) -> None:
    lattice, rules = built(key, "3", **sizes), Rules()
    # Off the critical origins, where a hair decides and neither is wrong.
    origins = np.rint(grid_origins(lattice, Fraction(angle), steps=5) + 211)

    many = count_many(ROOM.region(rules), lattice, Fraction(angle), origins, rules)

    for row, origin in enumerate(origins.astype(int).tolist()):
        set_out = SetOut(origin=(origin[0], origin[1]), angle=Fraction(angle))
        tally = count(ROOM, lattice, set_out, rules)
        slivers = sum(piece.count for piece in tally.absorbed)
        assert many.full[row] == tally.full_count
        assert tally.cut_count <= many.cut[row] <= tally.cut_count + slivers + 4


def test_an_inset_face_is_smaller_by_the_tolerance_all_round() -> None:
    grid = grid_of(built("stack", "0", length=100, width=100), Fraction(0))
    inset = inset_units(grid, MM) @ grid.basis.T

    assert np.allclose(inset[0].min(axis=0), MM)
    assert np.allclose(inset[0].max(axis=0), 99 * MM)


def test_the_promise_of_a_room_without_corners_in_tiles_is_what_it_takes() -> None:
    lattice, rules = built("stack", "0", length=100, width=100), Rules()
    origins = np.array([[0, 0], [40 * MM, 0], [70 * MM, 0]], dtype=np.float64)
    room = rectangle(500 * MM, 600 * MM).region(rules)

    many = count_many(room, lattice, Fraction(0), origins, rules)

    assert many.full.tolist() == [30, 24, 24]
    assert many.cut.tolist() == [0, 12, 12]
    assert many.promise.tolist() == [30, 30, 30]
    assert count_many(room, lattice, Fraction(0), origins[:0], rules).cut.tolist() == []
