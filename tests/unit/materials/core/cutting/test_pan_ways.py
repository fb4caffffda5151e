from __future__ import annotations

from fractions import Fraction

from materials.core import amounts
from materials.core.cutting.pan_ways import fall_share
from tests.pan_cases import (
    a_board,
    a_drain,
    a_pan,
    a_point,
    a_point_pan,
    a_recess,
    box,
    fitted,
    inches,
)


def plain(text: str) -> str:
    return text.replace("\u00a0", " ")


def test_the_sentence_says_falls_heights_cuts_and_money() -> None:
    way = fitted(a_recess(), a_pan()).ways[0]

    assert plain(way.sentence) == (
        "Falls 2.78 % (1 in 36): 1 13/16″ at the top, 53/64″ where the slope ends, "
        "31/32″ over 2′ 11″. “Dell 46” loses 4″ off its drain side and 1′ 0″ off its "
        "right side and 7″ off its far side: 42.2 % of its plan area, 162.96 of 386.40."
    )


def test_a_kept_strip_is_told() -> None:
    way = fitted(a_recess(drain=a_drain(0, 4, 30)), a_pan()).ways[0]

    assert "The flat strip of 4″ stays at the drain, 45/64″ high." in way.sentence


def test_a_pan_used_whole_says_so() -> None:
    whole = a_pan(width=inches(38), depth=inches(35), thick=inches("1 2/3"))

    way = fitted(a_recess(drain=a_drain(0, 4, 30)), whole).ways[0]

    assert way.sentence.endswith("“Dell 46” is used whole.")
    assert way.trimmed_money == amounts.money("0", "USD")


def test_a_point_pan_tells_its_rim_before_trimming() -> None:
    way = fitted(a_recess(drain=a_point(19, 17)), a_point_pan()).ways[0]

    assert way.sentence.startswith(
        "Falls from its rim, 1 5/8″ before trimming, to 1″ at the drain."
    )
    assert way.slope == Fraction(1, 40)


def test_what_is_bought_is_the_cost_and_what_is_cut_off_its_own_figure() -> None:
    recess = a_recess(flats=(box(0, 24, 38, 35),))

    way = fitted(recess, a_pan(), boards=(a_board(),)).ways[0]

    assert way.cost == amounts.money("444.65", "USD")
    assert way.trimmed_money == amounts.money("233.18", "USD")
    assert way.labour == "set_pan_and_board"


def test_the_rack_s_share_is_told_apart() -> None:
    way = fitted(a_recess(), a_pan(), leftover=(inches(10), inches(30))).ways[0]

    assert "70.22 of 386.40 after what goes to the rack." in way.sentence


def test_a_share_is_worded_with_one_decimal() -> None:
    assert fall_share(Fraction(1, 3)) == "33.3 %"
