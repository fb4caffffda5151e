from __future__ import annotations

from fractions import Fraction

import pytest

from materials.core.lengths import Length
from materials.core.recess_rules import SIZE_SOURCE, flood_water, size_caution

inch = Length.inch


@pytest.mark.parametrize(
    ("width", "depth", "cautioned"),
    [
        ("30", "30", False),
        ("29 15/16", "60", False),
        ("29 15/16", "40", True),
        ("25", "52", False),
        ("24 15/16", "60", True),
        ("25", "51 15/16", True),
    ],
)
def test_a_recess_below_either_limit_is_cautioned(
    width: str, depth: str, cautioned: bool
) -> None:
    w, d = inch(width), inch(depth)

    caution = size_caution(width=w, depth=d, area=w.by(d))

    assert (caution is not None) == cautioned


# Common practice without a source: what a setter would say of these three.
@pytest.mark.parametrize(
    ("width", "depth", "cautioned"),
    [("24", "36", True), ("36", "60", False), ("30", "31", False)],
    ids=[
        "two by three feet",
        "three by five feet",
        "as measured, finished wide enough",
    ],
)
def test_usual_sizes_are_judged_as_the_trade_does(
    width: str, depth: str, cautioned: bool
) -> None:
    w, d = inch(width), inch(depth)

    assert (size_caution(width=w, depth=d, area=w.by(d)) is not None) == cautioned


def test_between_studs_it_may_be_wide_enough_and_finished_it_is_not() -> None:
    studs, build_up = inch(31), inch("3/4")
    deep = inch(36)

    measured = size_caution(width=studs, depth=deep, area=studs.by(deep))
    finished = studs - build_up * 2
    after = size_caution(width=finished, depth=deep, area=finished.by(deep))

    assert measured is None
    assert after is not None
    assert "2′\u00a05 1/2″ is less than 2′\u00a06″" in after.sentence
    assert after.source == SIZE_SOURCE


def test_the_caution_names_what_is_too_small_in_the_home_system() -> None:
    w, d = Length.mm(600), Length.mm(900)

    caution = size_caution(width=w, depth=d, area=w.by(d), system="metric")

    assert caution is not None
    assert "0.54 m² is less than 0.58 m²" in caution.sentence
    assert "600\u00a0mm is less than 762\u00a0mm" in caution.sentence


def test_water_in_litres_weighs_its_kilograms() -> None:
    water = flood_water(area=inch(40).by(inch(40)), depth=inch(1))

    # A litre of water weighs a kilogram, near enough for a floor.
    assert water.litres == 1600 * Fraction(16_387_064, 10**9)
    assert abs(water.kilograms / water.litres - 1) < Fraction(1, 300)
