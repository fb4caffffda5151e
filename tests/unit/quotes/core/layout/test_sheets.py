"""Chips by column and row, sheets by their places, rests by whole chips."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.core.lengths import MM
from quotes.core.layout.counting import count
from quotes.core.layout.records import Rules, SetOut, Tally, box, rectangle
from quotes.core.layout.sheets import Sheet, chip_numbers, sheets_needed
from quotes.core.pattern import Lattice
from tests.pattern_proof import built

SQUARE = Sheet(across=6, up=6, interlocks=False, turns=True)
STEP = 50 * MM


def chips() -> Lattice:
    return built("stack", "2", length=48, width=48)


def laid(across: int, up: int, *, holes: tuple[object, ...] = (), angle: int = 0,
         lattice: Lattice | None = None) -> Tally:  # fmt: skip
    """Return a surface of so many millimetres, laid from its lower left corner."""
    surface = rectangle(across * MM, up * MM, holes=holes)  # type: ignore[arg-type]
    set_out = SetOut(angle=Fraction(angle))
    return count(surface, lattice or chips(), set_out, Rules())


def test_a_surface_of_whole_sheets_takes_just_those() -> None:
    found = sheets_needed([laid(4 * 300 - 2, 3 * 300 - 2)], SQUARE)

    assert (found.whole, found.parts, found.reused, found.no_reuse) == (12, 0, 12, 12)
    assert found.area_bound == 12


def test_a_strip_of_two_chips_takes_a_third_of_a_sheet() -> None:
    """Six rows of sheets each leave two columns: three strips come from one sheet."""
    found = sheets_needed([laid(300 + 100 - 2, 6 * 300 - 2)], SQUARE)

    assert (found.whole, found.parts) == (6, 6)
    assert (found.reused, found.no_reuse) == (8, 12)


def test_a_wall_in_a_chip_uses_that_chip_up() -> None:
    """Two chips and a half: three columns, so only two strips come from a sheet."""
    found = sheets_needed([laid(300 + 120, 6 * 300 - 2)], SQUARE)

    assert found.chips == 36 * 9
    assert (found.reused, found.area_bound) == (9, 9)


def test_a_rest_of_one_surface_serves_the_next() -> None:
    part = laid(300 - 2, 150 - 2)

    assert sheets_needed([part], SQUARE).reused == 1
    assert sheets_needed([part, part], SQUARE).reused == 1
    assert sheets_needed([part, part, part], SQUARE).reused == 2


def test_an_upright_rest_is_turned_only_when_chips_may_be() -> None:
    tallies = [laid(300 - 2, 150 - 2), laid(150 - 2, 300 - 2)]
    fixed = Sheet(across=6, up=6, interlocks=False, turns=False)

    assert sheets_needed(tallies, SQUARE).reused == 1
    assert sheets_needed(tallies, fixed).reused == 2


def test_a_surface_too_small_for_a_chip_takes_no_sheet() -> None:
    assert sheets_needed([laid(1, 1)], SQUARE).no_reuse == 0


def test_an_interlocking_rest_goes_by_pairs_of_rows() -> None:
    """Three rows take two pairs of a sheet's three, so two such strips need two.

    Half chips at both walls make the strip four chips wide.
    """
    brick = built("running_bond", "2", length=98, width=48, offset="1/2",
                  returning=True)  # fmt: skip
    sheet = Sheet(across=4, up=6, interlocks=True, turns=False)
    strip = laid(300 - 2, 150 - 2, lattice=brick)
    pair = laid(300 - 2, 100 - 2, lattice=brick)

    assert sheets_needed([strip, strip], sheet).reused == 2
    assert sheets_needed([strip, pair], sheet).reused == 1


@pytest.mark.parametrize("angle", [0, 30, 45, 90])
@pytest.mark.parametrize(
    "lattice",
    [
        chips(),
        built("hexagon", "3", across=50),
        built("running_bond", "2", length=98, width=48, offset="1/2", returning=True),
    ],
    ids=["square", "hexagon", "brick"],
)
def test_every_chip_has_a_column_and_a_row_of_its_own(
    lattice: Lattice, angle: int
) -> None:
    opening = (box(700 * MM, 300 * MM, 320 * MM, 210 * MM),)
    tally = laid(1310, 870, holes=opening, angle=angle, lattice=lattice)

    column, row = chip_numbers(tally)

    pairs = set(zip(column.tolist(), row.tolist(), strict=True))
    assert len(pairs) == len(column) == tally.full_count + tally.cut_count


@given(st.integers(310, 1500), st.integers(310, 900), st.integers(2, 8))
def test_figures_stand_in_order(across: int, up: int, side: int) -> None:
    sheet = Sheet(across=side, up=side, interlocks=False, turns=True)

    found = sheets_needed([laid(across, up)], sheet)

    assert found.area_bound <= found.reused <= found.no_reuse
    assert found.whole <= found.reused
