"""Grout as printed: a chart that the exact formula meets, a table of the short one."""

from __future__ import annotations

from fractions import Fraction

import pytest

from materials.core.kinds.grout import coverage, mass_per_area
from materials.core.lengths import Length
from materials.core.need import TileFacts
from tests.published.source_files import load

CHART = load("grout_chart")
SINAPI = load("sinapi_grout")

POUND = Fraction("0.45359237")
CUBIC_INCH_IN_LITRES = Fraction("0.016387064")
HALF = Fraction(1, 2)
SINAPI_K = Fraction("42.24")


def tile_of(case: dict[str, str], *, joint: Length, unit: str) -> TileFacts:
    """Return the tile a printed row describes."""
    read = Length.inch if unit == "in" else Length.mm
    return TileFacts(
        length=read(case["length"]),
        width=read(case["width"]),
        thickness=read(case.get("thickness", "1")),
        joint=joint,
    )


def exact_sq_ft(case: dict[str, str]) -> Fraction:
    """Return the coverage of a chart row by the project's own formula."""
    tile = tile_of(case, joint=Length.inch(case["joint"]), unit="in")
    density = Fraction(case["lb_per_cubic_inch"]) * POUND / CUBIC_INCH_IN_LITRES
    bag = Fraction(case["bag_lb"]) * POUND
    square_metres = coverage(tile, tile.thickness, bag, density)
    return square_metres / Fraction("0.3048") ** 2


def short_sq_ft(case: dict[str, str]) -> Fraction:
    """Return the coverage of a chart row by the short formula, worked out here."""
    a, b = Fraction(case["length"]), Fraction(case["width"])
    depth, joint = Fraction(case["thickness"]), Fraction(case["joint"])
    volume = 144 * depth * joint * (a + b) / (a * b)
    return Fraction(case["bag_lb"]) / (Fraction(case["lb_per_cubic_inch"]) * volume)


def misses(case: dict[str, str], found: Fraction) -> Fraction:
    """Return how far a figure lies from the printed one, in square feet."""
    return abs(found - Fraction(case["sq_ft"]))


@pytest.mark.parametrize("case", CHART["case"], ids=lambda case: case["id"])
def test_the_exact_formula_meets_every_printed_cell(case: dict[str, str]) -> None:
    within = Fraction(case.get("within", "1/2"))

    assert misses(case, exact_sq_ft(case)) <= within


def test_the_exact_formula_rounds_to_all_cells_but_one() -> None:
    hit = [case for case in CHART["case"] if misses(case, exact_sq_ft(case)) <= HALF]

    assert len(CHART["case"]) == 55
    assert len(hit) == 54


def test_the_short_formula_meets_no_cell_and_is_far_off_for_mosaic() -> None:
    hit = [case for case in CHART["case"] if misses(case, short_sq_ft(case)) <= HALF]
    mosaic = next(
        case for case in CHART["case"] if case["id"] == "sanded 1×1×1/4, joint 1/2"
    )

    assert hit == []
    assert short_sq_ft(mosaic) < Fraction(mosaic["sq_ft"]) * Fraction("0.6")


@pytest.mark.parametrize("case", SINAPI["case"], ids=lambda case: case["id"])
def test_the_table_of_the_short_formula_is_met_by_the_short_formula(
    case: dict[str, str],
) -> None:
    a, b = Fraction(case["length"]), Fraction(case["width"])
    printed = Fraction(case["kg_per_m2"])
    digits = len(case["kg_per_m2"].partition(".")[2])

    assert abs(SINAPI_K * (a + b) / (a * b) - printed) <= Fraction(1, 2 * 10**digits)


def test_no_joint_makes_the_exact_formula_fit_the_table_of_the_short_one() -> None:
    """K fixes joint × depth × density; the exact figure then depends on the joint."""
    case = SINAPI["case"][0]
    joint = Length.mm(3)
    tile = tile_of(case, joint=joint, unit="mm")
    per_litre = SINAPI_K / joint.in_mm

    exact = mass_per_area(tile, Length.mm(1), per_litre)

    assert exact < Fraction(case["kg_per_m2"]) * Fraction("0.96")
