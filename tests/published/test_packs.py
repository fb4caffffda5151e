"""Whole packs as guides compute them: an exact 22, which a float makes 23."""

from __future__ import annotations

from fractions import Fraction
from math import ceil

import pytest

from materials.core.quantities import whole_units
from tests.published.source_files import load

DATA = load("whole_boxes")


@pytest.mark.parametrize("case", DATA["case"], ids=lambda case: case["id"])
def test_a_printed_order_comes_to_its_whole_boxes(case: dict[str, str]) -> None:
    need = Fraction(case["need"]) * (1 + Fraction(case["more"]))

    assert whole_units(need, Fraction(case["box"])) == int(case["boxes"])


@pytest.mark.parametrize("case", DATA["more"], ids=lambda case: case["id"])
def test_a_printed_allowance_is_exact(case: dict[str, str]) -> None:
    need = Fraction(case["need"]) * (1 + Fraction(case["more"]))

    assert need == Fraction(case["with_more"])


def test_the_same_order_in_floats_buys_one_box_too_many() -> None:
    case = DATA["case"][0]

    floating = ceil(float(case["need"]) * 1.1 / float(case["box"]))

    assert floating == int(case["boxes"]) + 1
