"""Origins where an edge of a tile stands on a wall."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest

from materials.core.lengths import INCH, MM
from quotes.core.layout.counting import count
from quotes.core.layout.critical import (
    critical_origins,
    grained_rows,
    grid_origins,
)
from quotes.core.layout.records import Rules, SetOut, rectangle
from quotes.core.layout.task import grained
from tests.pattern_proof import built

ROOM = rectangle(2350 * MM, 1710 * MM)


def test_an_even_grid_covers_one_cell() -> None:
    lattice = built("stack", "0", length=300, width=200)
    origins = grid_origins(lattice, Fraction(0), steps=4)

    assert len(origins) == 16
    assert {int(x) // MM for x, _ in origins.tolist()} | {
        int(y) // MM for _, y in origins.tolist()
    } <= {0, 50, 75, 100, 150, 225}


@pytest.mark.parametrize(
    ("key", "sizes", "angle"),
    [
        ("stack", {"length": 300, "width": 200}, 0),
        ("running_bond", {"length": 300, "width": 200, "offset": "1/2"}, 0),
        ("stack", {"length": 300, "width": 300}, 45),
        ("herringbone", {"length": 300, "width": 150}, 45),
    ],
)
def test_no_origin_of_an_even_grid_has_fewer_cuts(
    key: str, sizes: dict[str, object], angle: int
) -> None:
    lattice, rules, turn = built(key, "3", **sizes), Rules(), Fraction(angle)

    def fewest(origins: np.ndarray) -> int:
        return min(
            count(
                ROOM, lattice, SetOut(origin=(int(x), int(y)), angle=turn), rules
            ).cut_count
            for x, y in np.rint(origins).tolist()
        )

    critical = critical_origins(ROOM.region(rules), lattice, turn, most=2000)

    assert len(critical)
    assert fewest(critical) <= fewest(grid_origins(lattice, turn, steps=9))


def test_a_room_askew_to_the_lattice_has_none() -> None:
    lattice = built("stack", "3", length=300, width=200)

    found = critical_origins(ROOM.region(Rules()), lattice, Fraction("17.3"), most=99)

    assert len(found) <= 99


@pytest.mark.parametrize(
    "grain", [Fraction(0), Fraction(INCH, 10_000), Fraction(96, 5)]
)
def test_many_origins_are_rounded_like_one_each(grain: Fraction) -> None:
    points = np.random.default_rng(5).uniform(-2e6, 2e6, size=(500, 2))

    rows = grained_rows(points, grain)

    assert rows == [grained(point, grain) for point in points.tolist()]
    assert grained_rows(np.array([[1.5, -1.5]] * 2), Fraction(0)) == [(2, -2)]
