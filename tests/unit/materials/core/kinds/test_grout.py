"""Grout by the exact module formula, mosaic by its chip, depth and loss as set."""

from __future__ import annotations

from fractions import Fraction

import pytest

from materials.core.errors import OutOfRange
from materials.core.kinds.grout import joint_share, need
from materials.core.lengths import Length
from materials.core.need import Extent, MaterialFacts, TileFacts
from materials.core.outlines import rectangle, ring_area

mm = Length.mm


def a_grout(**facts: object) -> MaterialFacts:
    given = {"density": Fraction("1.6"), "loss": Fraction(0), **facts}
    return MaterialFacts(code="G", name="Grout", kind="grout", facts=given)


def a_field(tile: TileFacts | None, *, times: int = 1) -> Extent:
    outline = rectangle(0, 0, mm(2000).ticks, mm(1000).ticks)
    return Extent(
        place="Bath",
        role="wall",
        outline=outline,
        area=ring_area(outline),
        tile=tile,
        times=times,
    )


TILE = TileFacts(length=mm(300), width=mm(300), thickness=mm(8), joint=mm(3))
MOSAIC = TileFacts(
    length=mm(297),
    width=mm(297),
    thickness=mm(6),
    joint=mm(3),
    chip_length=mm(47),
    chip_width=mm(47),
)


def test_the_mass_is_share_of_joint_by_area_by_depth_by_density() -> None:
    share = 1 - Fraction(300 * 300, 303 * 303)

    found = need(a_grout(), [a_field(TILE)], {})

    assert found.quantity == share * 2 * 8 * Fraction("1.6")
    assert found.unit == "kg"


def test_repeats_and_loss_are_added() -> None:
    once = need(a_grout(), [a_field(TILE)], {}).quantity

    found = need(a_grout(loss=Fraction(1, 10)), [a_field(TILE, times=3)], {})

    assert found.quantity == 3 * once * Fraction(11, 10)
    assert found.loss == 3 * once / 10


def test_mosaic_counts_by_its_chip_and_not_by_its_sheet() -> None:
    sheet = TileFacts(
        length=MOSAIC.length,
        width=MOSAIC.width,
        thickness=MOSAIC.thickness,
        joint=MOSAIC.joint,
    )

    assert joint_share(MOSAIC) == 1 - Fraction(47 * 47, 50 * 50)
    assert joint_share(MOSAIC) > 5 * joint_share(sheet)


def test_the_layer_may_set_joint_and_depth() -> None:
    found = need(a_grout(), [a_field(TILE)], {"joint": mm(5), "depth": mm(6)})

    share = 1 - Fraction(300 * 300, 305 * 305)
    assert found.quantity == share * 2 * 6 * Fraction("1.6")


def test_a_tile_without_a_joint_takes_no_grout() -> None:
    tight = TileFacts(length=mm(300), width=mm(300), thickness=mm(8), joint=mm(0))

    assert need(a_grout(), [a_field(tight)], {}).quantity == 0


def test_a_surface_without_a_tile_is_refused() -> None:
    with pytest.raises(OutOfRange, match="needs a tile"):
        need(a_grout(), [a_field(None)], {})


def test_a_density_that_slipped_a_decimal_point_is_refused() -> None:
    with pytest.raises(OutOfRange, match="kg/m²"):
        need(a_grout(density=Fraction(1600)), [a_field(TILE)], {})


def test_a_joint_outside_what_the_grout_is_for_is_said() -> None:
    found = need(a_grout(joint_min=mm(5), joint_max=mm(12)), [a_field(TILE)], {})

    assert "joints of 5\u00a0mm to 12\u00a0mm" in found.notes[0]


def test_every_line_of_working_names_its_place() -> None:
    found = need(a_grout(), [a_field(TILE)], {"system": "metric"})

    assert found.working[0].label == "Joints, Bath"
    assert "2.00 m²" in found.working[0].formula
