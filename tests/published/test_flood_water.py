"""What the water of a flood test weighs, as printed."""

from __future__ import annotations

from fractions import Fraction

import pytest

from materials.core.lengths import Length
from materials.core.quantities import fixed_text
from materials.core.recess_rules import flood_water
from tests.published.source_files import load

DATA = load("astm_flood_water")


@pytest.mark.parametrize("case", DATA["water"], ids=lambda case: case["id"])
def test_the_water_on_a_shower_floor(case: dict[str, str]) -> None:
    area = Length.inch(case["width_in"]).by(Length.inch(case["depth_in"]))

    water = flood_water(area=area, depth=Length.inch(case["water_in"]))

    assert water.cubic_inches == Fraction(case["cubic_inches"])
    assert fixed_text(water.gallons, places=1) == case["gallons"]
    assert fixed_text(water.pounds, places=0) == case["pounds"]
