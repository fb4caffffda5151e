"""The limits of the model code for showers, as printed."""

from __future__ import annotations

from fractions import Fraction

import pytest

from materials.core.lengths import Length
from materials.core.recess_rules import DWELLING_SLOPE, size_caution
from tests.published.source_files import load

DATA = load("irc_2021_showers")
HAIR = Length.inch("1/16")


@pytest.mark.parametrize("case", DATA["size"], ids=lambda case: case["id"])
def test_the_least_size_printed_passes_and_a_hair_less_does_not(
    case: dict[str, str],
) -> None:
    way = Length.inch(case["inches"])
    other = Length.inch(Fraction(case["square_inches"]) / Fraction(case["inches"]))

    assert size_caution(width=way, depth=other, area=way.by(other)) is None
    less = other - HAIR
    assert size_caution(width=way, depth=less, area=way.by(less)) is not None
    narrow, deep = way - HAIR, other + Length.inch(12)
    narrow_area = narrow.by(deep)
    caution = size_caution(width=narrow, depth=deep, area=narrow_area)
    assert (caution is None) == (case["inches"] == "30" and narrow_area.sq_in >= 1300)


def test_the_falls_are_those_printed() -> None:
    least, most = (Fraction(row["rise"]) / Fraction(row["run"]) for row in DATA["fall"])

    assert (DWELLING_SLOPE.least, DWELLING_SLOPE.most) == (least, most)
