"""What cut pieces promise, before any is made: against rooms worked out by hand."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest

from materials.core.lengths import MM
from quotes.core.layout.batch import ManyCounts, count_many
from quotes.core.layout.counting import count
from quotes.core.layout.critical import grid_origins
from quotes.core.layout.promise import inward
from quotes.core.layout.records import Rules, SetOut, Surface, box, rectangle
from quotes.core.layout.reuse import tiles_needed
from tests.pattern_proof import built

SQUARE = built("stack", "0", length=100, width=100)
OBLONG = built("stack", "0", length=200, width=100)
ELL = Surface(
    outer=tuple(
        (x * MM, y * MM)
        for x, y in ((0, 0), (500, 0), (500, 300), (300, 300), (300, 500), (0, 500))
    )
)


def counted(surface: Surface, *origins: tuple[int, int], **rules: object) -> ManyCounts:
    given = Rules(**{"kerf": 0, **rules})  # type: ignore[arg-type]
    lattice = OBLONG if surface.outer[1][0] == 950 * MM else SQUARE
    points = np.array(origins, dtype=np.float64) * MM
    return count_many(surface.region(given), lattice, Fraction(0), points, given)


def test_strips_that_pair_end_to_end_take_half_as_many_tiles() -> None:
    # 4 whole columns of 5, and 40 mm on the left with 60 mm on the right.
    (likely,) = counted(rectangle(500 * MM, 500 * MM), (40, 0)).likely.tolist()

    assert likely == 20 + 5


def test_strips_that_do_not_pair_take_a_tile_each() -> None:
    # 70 mm left and 80 mm right.
    (likely,) = counted(rectangle(550 * MM, 500 * MM), (70, 0)).likely.tolist()

    assert likely == 20 + 10


def test_a_kerf_parts_strips_that_fill_the_tile_exactly() -> None:
    # Five of 60 mm take a tile each; those of 40 mm pair among themselves, turned.
    with_kerf = counted(rectangle(500 * MM, 500 * MM), (40, 0), kerf=2 * MM)

    assert with_kerf.likely.tolist() == [20 + 5 + 3]


def test_a_directional_tile_gives_each_end_to_its_own_side_only() -> None:
    # Left strips of 30 mm could share tiles among themselves only when turned; they
    # still share with right strips of 70 mm, since those take the other end.
    room = rectangle(500 * MM, 500 * MM)
    (own_hands,) = counted(room, (30, 0), directional=True).likely.tolist()
    # Only one side is cut to 30 mm: the strips of that side take five tiles.
    one_side = rectangle(430 * MM, 500 * MM)
    (alone,) = counted(one_side, (30, 0), directional=True).likely.tolist()
    (paired,) = counted(one_side, (30, 0)).likely.tolist()

    assert (own_hands, alone, paired) == (20 + 5, 20 + 5, 20 + 3)


def test_strips_across_an_oblong_do_not_pair_with_strips_along_it() -> None:
    # Columns: 150 + 4 × 200; rows 60 + 40 + whole. Along x only, then along y only.
    room = rectangle(950 * MM, 400 * MM)
    along, across = counted(room, (150, 0), (0, 50)).likely.tolist()

    assert along == 4 * 4 + 4
    # 3 rows of 4 whole, 150 mm at their right; two rows of 50 mm share four tiles.
    assert across == 3 * 4 + 3 + 5


def test_about_a_corner_turned_inwards_the_tile_stays_whole() -> None:
    (promise,) = counted(ELL, (50, 50)).promise.tolist()

    tally = count(ELL, SQUARE, SetOut(origin=(50 * MM, 50 * MM)), Rules())
    # Fourteen half strips, five quarter corners and one of three quarters: 9 by area.
    assert promise == tally.full_count + 9


@pytest.mark.parametrize("angle", [0, 45])
def test_what_is_likely_is_within_a_few_tiles_of_the_plan(angle: int) -> None:
    lattice = built("running_bond", "3", length=300, width=150, offset="1/3")
    surface = rectangle(
        2410 * MM, 1730 * MM, holes=(box(700 * MM, 500 * MM, 480 * MM, 390 * MM),)
    )
    rules = Rules(kerf=2 * MM)
    origins = np.rint(grid_origins(lattice, Fraction(angle), steps=5) + 211)
    many = count_many(surface.region(rules), lattice, Fraction(angle), origins, rules)

    off = []
    for row, origin in enumerate(origins.astype(int).tolist()):
        set_out = SetOut(origin=(origin[0], origin[1]), angle=Fraction(angle))
        needed = tiles_needed([count(surface, lattice, set_out, rules)], rules)
        assert many.promise[row] - 1 <= needed
        off.append(abs(int(many.likely[row]) - needed))

    assert max(off) <= 4
    assert sum(off) <= len(off) * 3 // 2


def test_the_region_lies_to_the_left_of_its_sides() -> None:
    sides = np.array([[0.0, 0.0, 10.0, 0.0], [10.0, 0.0, 10.0, 5.0]])

    assert inward(sides).tolist() == [[0.0, 1.0], [-1.0, 0.0]]
