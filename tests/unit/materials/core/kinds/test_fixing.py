"""Fixings: a grid over each board, spread over the net area."""

from __future__ import annotations

from fractions import Fraction

import pytest

from materials.core.errors import OutOfRange
from materials.core.kinds.fixing import grid_count, need
from materials.core.lengths import NOTHING, Length
from materials.core.need import Extent, MaterialFacts
from materials.core.outlines import rectangle, ring_area

mm = Length.mm
SCREW = MaterialFacts(
    code="F",
    name="Screw",
    kind="fixing",
    facts={"spacing": mm(200), "loss": Fraction(0)},
)


def a_wall(*, times: int = 1) -> Extent:
    outline = rectangle(0, 0, mm(2400).ticks, mm(1200).ticks)
    return Extent(
        place="Wall",
        role="wall",
        outline=outline,
        area=ring_area(outline),
        times=times,
    )


def test_rows_and_columns_stand_no_farther_apart_than_the_spacing() -> None:
    assert grid_count(mm(800), mm(1200), mm(200), NOTHING) == 5 * 7
    assert grid_count(mm(801), mm(1200), mm(200), NOTHING) == 6 * 7


def test_the_outer_rows_stand_inside_the_edge() -> None:
    assert grid_count(mm(820), mm(1220), mm(200), mm(10)) == 5 * 7


def test_a_strip_narrower_than_its_edges_takes_one_row() -> None:
    assert grid_count(mm(15), mm(1000), mm(200), mm(10)) == 1 * 6


def test_a_board_s_grid_is_spread_over_the_net_area() -> None:
    found = need(SCREW, [a_wall()], {"sheet_width": mm(800), "sheet_length": mm(1200)})

    assert found.quantity == 3 * 35
    assert "By net area" in found.bound


def test_without_a_board_each_surface_is_one() -> None:
    assert need(SCREW, [a_wall(times=2)], {}).quantity == 2 * 13 * 7


def test_the_loss_goes_up_to_whole_fixings_once() -> None:
    found = need(
        SCREW,
        [a_wall()],
        {
            "sheet_width": mm(800),
            "sheet_length": mm(1200),
            "loss": Fraction(1, 20),
        },
    )

    assert found.quantity == 111


def test_no_spacing_at_all_is_refused() -> None:
    with pytest.raises(OutOfRange, match="spacing above nothing"):
        need(SCREW, [a_wall()], {"spacing": NOTHING})
