"""Membrane: strips both ways with laps and turn-ups, coats, bands along corners."""

from __future__ import annotations

from fractions import Fraction

import pytest

from materials.core.errors import OutOfRange
from materials.core.kinds.membrane import KIND, need, strips_over
from materials.core.lengths import NOTHING, Length
from materials.core.need import Edge, Extent, MaterialFacts
from materials.core.outlines import rectangle, ring_area

mm = Length.mm


def a_membrane(form: str, **facts: object) -> MaterialFacts:
    return MaterialFacts(
        code="M", name="Seal", kind="membrane", facts={"form": form, **facts}
    )


def a_floor(
    width: int, height: int, *, edges: tuple[str, ...] = ("exposed",) * 4,
    corners: Length = NOTHING, times: int = 1,
) -> Extent:  # fmt: skip
    outline = rectangle(0, 0, mm(width).ticks, mm(height).ticks)
    return Extent(
        place="Floor",
        role="floor",
        outline=outline,
        area=ring_area(outline),
        edges=tuple(Edge(kind=kind, length=mm(1)) for kind in edges),
        inside_corners=corners,
        times=times,
    )


def test_strips_are_tried_both_ways_and_the_shorter_roll_is_taken() -> None:
    along = strips_over(mm(2400), mm(3000), mm(1000), mm(50))

    assert (along.count, along.length, along.along) == (3, mm(3000), "upright")
    assert along.total == mm(9000)
    level = strips_over(mm(3000), mm(2400), mm(1000), mm(50))
    assert (level.count, level.length, level.along) == (3, mm(3000), "level")


def test_one_strip_covers_what_is_no_wider_than_the_roll() -> None:
    assert strips_over(mm(1000), mm(3000), mm(1000), mm(50)).count == 1


def test_a_sheet_is_counted_in_metres_of_roll() -> None:
    sheet = a_membrane("sheet", roll_width=mm(1000), lap=mm(50))

    found = need(sheet, [a_floor(2400, 3000, times=2)], {})

    assert (found.quantity, found.unit) == (18, "m")
    assert found.loss == 18 - Fraction("14.4")


def test_turn_ups_count_on_the_sides_that_meet_a_wall() -> None:
    sheet = a_membrane("sheet", roll_width=mm(1000), lap=mm(50))
    floor = a_floor(2400, 2900, edges=("wall", "exposed", "wall", "exposed"))

    found = need(sheet, [floor], {"turn_up": mm(100)})

    assert found.quantity == Fraction("9.3")


def test_a_lap_as_wide_as_the_roll_is_refused() -> None:
    sheet = a_membrane("sheet", roll_width=mm(50), lap=mm(50))

    with pytest.raises(OutOfRange, match="nothing is left to cover"):
        need(sheet, [a_floor(2400, 3000)], {})


def test_a_liquid_goes_by_coats_and_is_turned_up_along_corners() -> None:
    liquid = a_membrane("liquid", per_coat=Fraction("0.6"), coats=2)

    found = need(liquid, [a_floor(2000, 1000, corners=mm(3000))], {"turn_up": mm(100)})

    assert found.quantity == (2 + Fraction("0.3")) * Fraction("0.6") * 2
    assert found.unit == "kg"


def test_a_liquid_without_its_coat_is_refused() -> None:
    with pytest.raises(OutOfRange, match="mass of one coat"):
        need(a_membrane("liquid"), [a_floor(2000, 1000)], {})


def test_a_band_follows_the_corners_with_a_lap_for_each_run() -> None:
    band = a_membrane("band", lap=mm(50))

    found = need(band, [a_floor(2000, 1000, corners=mm(3000), times=2)], {})

    assert found.quantity == Fraction("6.1")


def test_a_band_over_all_seams_counts_them_by_the_sheet_s_width() -> None:
    band = a_membrane("band", lap=mm(50))

    found = need(band, [a_floor(2000, 1000)], {"along": "all", "sheet_width": mm(800)})

    assert found.quantity == Fraction("2.5")
    assert "Seams" in found.bound


def test_the_form_decides_the_unit_of_a_pack() -> None:
    assert KIND.unit_of({"form": "sheet"}) == "m"
    assert KIND.unit_of({"form": "liquid"}) == "kg"
