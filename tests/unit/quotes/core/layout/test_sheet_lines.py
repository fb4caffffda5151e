"""The lines between the sheets of a mosaic, where a hand would draw them."""

from __future__ import annotations

import pytest

from materials.core.lengths import MM
from quotes.core.layout.sheet_lines import sheet_lines
from quotes.core.layout.sheets import Sheet
from tests.pattern_proof import built
from tests.unit.quotes.core.layout.test_sheets import SQUARE, box, chips, laid

BRICK = built("running_bond", "2", length=98, width=48, offset="1/2", returning=True)


def test_square_sheets_meet_every_six_chips_of_fifty_millimetres() -> None:
    """Chips of 48 with 2 of joint, six to a sheet: lines at 299 mm, and at 599."""
    found = sheet_lines(laid(600 - 2, 450 - 2), SQUARE)

    (level,) = [line for line in found if line[0][1] == line[-1][1]]
    (upright,) = [line for line in found if line[0][0] == line[-1][0]]
    assert {y for _, y in level} == {299 * MM}
    assert {x for x, _ in upright} == {299 * MM}
    assert sorted(x for x, _ in level) == [0, 598 * MM]


def test_one_sheet_meets_no_other() -> None:
    assert sheet_lines(laid(300 - 2, 300 - 2), SQUARE) == ()
    assert sheet_lines(laid(1, 1), SQUARE) == ()


def test_interlocking_sheets_meet_in_steps_of_half_a_chip() -> None:
    sheet = Sheet(across=3, up=6, interlocks=True, turns=False)

    found = sheet_lines(laid(590, 300 - 2, lattice=BRICK), sheet)

    # The first column is the half chip at the wall; the last line falls in the wall.
    assert found
    stepped = max(found, key=len)
    across = sorted({x for x, _ in stepped})
    assert len(across) == 2
    assert across[1] - across[0] == 50 * MM


@pytest.mark.parametrize("angle", [0, 30, 90])
def test_no_line_leaves_the_surface_or_crosses_an_opening(angle: int) -> None:
    opening = (box(700 * MM, 300 * MM, 320 * MM, 210 * MM),)

    found = sheet_lines(laid(1310, 870, holes=opening, angle=angle), SQUARE)

    assert found
    for line in found:
        for x, y in line:
            assert 0 <= x <= 1310 * MM
            assert 0 <= y <= 870 * MM
            inside = (700 * MM < x < 1020 * MM) and (300 * MM < y < 510 * MM)
            assert not inside


def test_the_lattice_of_the_tests_has_chips_of_fifty() -> None:
    assert chips().pitch == (50 * MM, 50 * MM)
