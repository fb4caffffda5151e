"""Falls that a model code prints, and what follows from them for a point drain."""

from __future__ import annotations

from fractions import Fraction

import pytest

from materials.core import amounts
from materials.core.cutting.pan_records import (
    Fit,
    LinearDrain,
    Mortar,
    Pan,
    PointDrain,
    Recess,
    SlopeRule,
    Stock,
)
from materials.core.cutting.pans import fit_pans
from materials.core.lengths import MM, Length
from tests.published.source_files import load

DATA = load("ncc_2022_falls")
LIMIT = DATA["limit"][0]
RULE = SlopeRule(least=Fraction(LIMIT["least"]), most=Fraction(LIMIT["most"]))
BED = Mortar(
    price_per_cubic_tick=Fraction(1, MM**3), least=Length.mm(20), currency="AUD"
)


def a_pan(width: Length, depth: Length, rise: Length) -> Pan:
    return Pan(
        name="pan",
        kind="point",
        width=width,
        depth=depth,
        thin=Length.mm(20),
        thick=Length.mm(20) + rise,
        price=amounts.money(1, "AUD"),
    )


def fitted(width: Length, depth: Length, *pans: Pan) -> Fit:
    drain = PointDrain(at=(width.ticks // 2, depth.ticks // 2))
    recess = Recess.rectangle(width=width, depth=depth, drain=drain, system="metric")
    return fit_pans(recess, stock=Stock(pans=pans, mortar=BED), rule=RULE)


@pytest.mark.parametrize("case", DATA["shower"], ids=lambda case: case["id"])
def test_a_central_waste_with_a_level_perimeter_is_refused_as_printed(
    case: dict[str, str],
) -> None:
    width, depth = Length.mm(case["width_mm"]), Length.mm(case["depth_mm"])
    rise = Length.mm(case["rise_mm"])
    large = a_pan(width, width, rise)

    fit = fitted(width, depth, a_pan(width, depth, rise), large)

    assert fit.ways == ()
    assert len(fit.refused) == 4 + 4 + 1
    run = 1 / Fraction(case["short_run_fall"])
    for one in fit.refused:
        assert f"1 in {run}" in one.reason
        assert f"rises {rise.text('metric')}" in one.reason


@pytest.mark.parametrize("case", DATA["shower"], ids=lambda case: case["id"])
def test_the_same_shower_falls_to_a_linear_drain(case: dict[str, str]) -> None:
    width, depth = Length.mm(case["width_mm"]), Length.mm(case["depth_mm"])
    drain = LinearDrain(side=0, start=Length(0), length=width)
    recess = Recess.rectangle(width=width, depth=depth, drain=drain, system="metric")

    way = fit_pans(recess, stock=Stock(mortar=BED), rule=RULE).ways[0]

    assert way.slope == RULE.least
    corner = way.heights[2].length
    assert corner == Length.mm(20) + Length.mm(case["rise_mm"])


@pytest.mark.parametrize("case", DATA["ratio"], ids=lambda case: case["id"])
def test_the_longest_run_may_be_so_many_times_the_shortest(
    case: dict[str, str],
) -> None:
    short = Length.mm(900)
    long = Length.mm(900 * Fraction(case["ratio"]))

    at_the_limit = fitted(long, short)
    beyond = fitted(long + Length(2), short)

    assert [way.name for way in at_the_limit.ways] == ["mortar bed"]
    assert beyond.ways == ()
