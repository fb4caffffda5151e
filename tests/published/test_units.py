"""Definitions of units, against two libraries that print them too.

pint keeps exact fractions when asked to; scipy.constants keeps doubles, so there a
double's rounding is allowed and nothing more.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pint
import pytest
from scipy import constants

from materials.core.areas import Area
from materials.core.lengths import FOOT, INCH, METRE, MM, Length
from materials.core.packaging import UNIT_WORDS
from tests.published.source_files import load

PINT = pint.UnitRegistry(non_int_type=Fraction)
DOUBLE = Fraction(1, 2**51)
"""Two roundings of a double, relative."""

NAMES = {
    "kg": {"kg": "kilogram", "g": "gram", "lb": "pound", "lbs": "pound", "oz": "ounce"},
    "l": {
        "l": "liter", "litre": "liter", "litres": "liter", "ml": "milliliter",
        "gal": "US_liquid_gallon", "qt": "US_liquid_quart",
        "fl oz": "US_fluid_ounce", "cu ft": "foot**3",
    },
    "ml": {
        "ml": "milliliter", "l": "liter", "fl oz": "US_fluid_ounce",
        "gal": "US_liquid_gallon",
    },
    "m2": {
        "m2": "meter**2", "m²": "meter**2", "sq m": "meter**2", "sq ft": "foot**2",
        "ft2": "foot**2", "ft²": "foot**2",
    },
    "m": {"m": "meter", "mm": "millimeter", "cm": "centimeter", "ft": "foot",
          "in": "inch"},
    "kg/l": {"kg/l": "kilogram/liter", "lb/cu ft": "pound/foot**3"},
    "kg/m2": {"kg/m2": "kilogram/meter**2", "kg/m²": "kilogram/meter**2",
              "lb/sq ft": "pound/foot**2"},
    "l/kg": {"l/kg": "liter/kilogram"},
}  # fmt: skip
BASES = {
    "kg": "kilogram", "l": "liter", "ml": "milliliter", "m2": "meter**2", "m": "meter",
    "kg/l": "kilogram/liter", "kg/m2": "kilogram/meter**2", "l/kg": "liter/kilogram",
}  # fmt: skip
COUNTED = {"each"}


def in_unit(name: str, base: str) -> Any:
    """Return how many of `base` one of `name` is, exactly, by pint."""
    return PINT.Quantity(Fraction(1), name).to(base).magnitude


@pytest.mark.parametrize(
    ("unit", "word"),
    [
        (unit, word)
        for unit, words in UNIT_WORDS.items()
        for word in words
        if unit not in COUNTED
    ],
)
def test_a_unit_a_pack_may_be_printed_in_is_exact(unit: str, word: str) -> None:
    assert UNIT_WORDS[unit][word] == in_unit(NAMES[unit][word], BASES[unit])


def test_ticks_are_what_the_inch_and_the_foot_are() -> None:
    assert Fraction(INCH, MM) == in_unit("inch", "millimeter")
    assert Fraction(FOOT, MM) == in_unit("foot", "millimeter")
    assert Fraction(METRE, MM) == in_unit("meter", "millimeter")


def test_square_feet_and_square_metres_agree() -> None:
    foot = Length.inch(12)

    assert foot.by(foot).sq_m == in_unit("foot**2", "meter**2")
    assert Area.sq_m_of(Fraction(1)).sq_ft == in_unit("meter**2", "foot**2")


@pytest.mark.parametrize(
    ("ours", "theirs"),
    [
        (Length.inch(1).in_m, constants.inch),
        (Length.inch(12).in_m, constants.foot),
        (Length.inch(36).in_m, constants.yard),
        (UNIT_WORDS["kg"]["lb"], constants.pound),
        (UNIT_WORDS["kg"]["oz"], constants.ounce),
        (UNIT_WORDS["l"]["gal"] / 1000, constants.gallon_US),
        (UNIT_WORDS["l"]["fl oz"] / 1000, constants.fluid_ounce_US),
    ],
    ids=["inch", "foot", "yard", "pound", "ounce", "gallon", "fluid ounce"],
)
def test_units_are_those_of_scipy_to_a_double(ours: Fraction, theirs: float) -> None:
    assert abs(Fraction(theirs) - ours) <= ours * DOUBLE


@pytest.mark.parametrize(
    "case", load("unit_definitions")["case"], ids=lambda case: case["id"]
)
def test_a_definition_is_the_printed_one(case: dict[str, str]) -> None:
    words = UNIT_WORDS[case["in"]]

    assert words[case["word"]] == Fraction(case["value"])
