"""Sheets of mosaic: their chips from the sheet's facts, refusals by the fact."""

from __future__ import annotations

import pytest

from materials.core.errors import OutOfRange
from materials.core.kinds.tile import facts_of
from materials.core.lengths import Length
from materials.core.need import MaterialFacts
from quotes.core.layout.sheets import Sheet
from quotes.core.mosaic_counts import are_too_many, chip_lattice, is_mosaic, sheet_of


def mosaic(length: str, width: str, chip: str, lattice: str = "",
           wide: str = "", **more: object) -> MaterialFacts:  # fmt: skip
    """Return a sheet of chips from millimetres, joint 2."""
    facts: dict[str, object] = {
        "length": Length.mm(length),
        "width": Length.mm(width),
        "thickness": Length.mm("6"),
        "joint": Length.mm("2"),
        "chip_length": Length.mm(chip),
        **more,
    }
    if wide:
        facts["chip_width"] = Length.mm(wide)
    if lattice:
        facts["chip_lattice"] = lattice
    return MaterialFacts(code="M", name="Mosaic", kind="tile", facts=facts)


def sheet(material: MaterialFacts) -> Sheet:
    tile = facts_of(material, {})
    return sheet_of(material, tile, chip_lattice(material, tile))


@pytest.mark.parametrize("side", ["298", "300"])
def test_a_sheet_is_printed_with_or_without_its_edge_joint(side: str) -> None:
    found = sheet(mosaic(side, side, "48"))

    assert (found.across, found.up, found.chips) == (6, 6, 36)
    assert found.turns
    assert not found.interlocks


def test_oblong_or_directional_chips_are_not_turned() -> None:
    assert not sheet(mosaic("300", "300", "98", wide="48")).turns
    assert not sheet(mosaic("300", "300", "48", directional=True)).turns


def test_the_half_chip_of_a_brick_sheet_is_its_neighbour_s() -> None:
    found = sheet(mosaic("348", "298", "98", "brick", "48"))

    assert (found.across, found.up, found.interlocks) == (3, 6, True)


def test_hexagons_stand_in_rows_a_step_and_root_three_halves_apart() -> None:
    """Five of 50 with joint 2 and half a chip; six rows of 45.03 and the points."""
    found = sheet(mosaic("284", "282.9", "50", "hexagon"))

    assert (found.across, found.up, found.interlocks) == (5, 6, True)


def test_a_sheet_that_is_no_whole_number_of_chips_is_refused() -> None:
    with pytest.raises(OutOfRange, match="whole number of chips") as refused:
        sheet(mosaic("320", "300", "48"))

    assert refused.value.field == "length"


def test_a_hexagon_is_as_wide_as_long() -> None:
    tile = facts_of(mosaic("284", "283", "50", "hexagon", "30"), {})

    assert tile.chip_width == tile.chip_length


def test_a_layer_cannot_change_the_joint_the_mesh_holds() -> None:
    material = mosaic("300", "300", "48")
    tile = facts_of(material, {"joint": Length.mm("5")})

    assert chip_lattice(material, tile).joint == Length.mm("2").ticks


def test_a_tile_is_no_mosaic_and_a_hall_of_chips_is_too_many() -> None:
    material = mosaic("300", "300", "48")
    tile = facts_of(material, {})
    lattice = chip_lattice(material, tile)
    square_metre = Length.mm("1000").ticks ** 2

    assert is_mosaic(tile)
    assert not are_too_many([square_metre], lattice)
    assert are_too_many([2000 * square_metre], lattice)
