"""Kept pieces beside new stock: used where they save, left where they cost."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from materials.core.lengths import Length
from materials.core.need import PackFacts, RackPiece
from materials.core.plans.bands import BandPlan, Run, planned_bands
from materials.core.plans.board_sheets import Sheet
from materials.core.plans.boards import planned_boards
from materials.core.plans.edges import EdgePiece, planned_lengths
from materials.core.plans.racked import (
    NEW_PRICE,
    as_lengths,
    as_rolls,
    kept_stock,
    rack_steps,
)
from materials.core.plans.records import MaterialPlan
from materials.core.plans.strips import Area, Rolls, RollSize, StripPlan, planned_strips
from tests.unit.materials.core.plans.test_board_panels import a_field

mm = Length.mm


def kept(width: int, height: int, value: str = "0", key: str = "k") -> RackPiece:
    return RackPiece(
        key=key,
        words="van",
        width=mm(width),
        height=mm(height),
        value=Fraction(value),
    )


def boards(*rack: RackPiece, width: int = 1312) -> MaterialPlan:
    sheet = Sheet(
        code="B", words="sheet", width=mm(1200), length=mm(2400), rack=tuple(rack)
    )
    found = planned_boards((a_field(0, 0, width, 2365),), sheet)
    assert found is not None
    return found


def test_a_kept_strip_saves_the_second_sheet() -> None:
    plan = boards(kept(238, 2400))

    assert (plan.new, plan.taken) == (1, ("k",))
    assert plan.verdict.startswith("1 new sheet and 1 kept piece")
    assert boards().new == 2


def test_a_kept_piece_that_helps_nothing_stays_where_it_is() -> None:
    plan = boards(kept(238, 2400), width=1100)

    assert (plan.new, plan.taken) == (1, ())
    assert plan.verdict == "1 new sheet; no kept piece helps."


def test_a_kept_piece_is_used_once() -> None:
    plan = boards(kept(1200, 2400), kept(1200, 2400, key="l"), width=2400)

    assert (plan.new, sorted(plan.taken)) == (0, ["k", "l"])


def test_the_value_is_a_share_of_new_stock_of_that_size() -> None:
    (stock,) = kept_stock([kept(600, 1200, "1/2")], mm(1200).by(mm(2400)).ticks2)

    assert stock.price == NEW_PRICE // 8
    assert stock.count == 1


def test_a_kept_length_is_used_before_a_new_one() -> None:
    pieces = [EdgePiece(place="wall", length=mm(one).ticks) for one in (2400, 1100)]
    plan = planned_lengths(
        pieces,
        stock=mm(2500).ticks,
        kerf=mm(3).ticks,
        words="trim",
        rack=(kept(1150, 10),),
    )

    assert plan is not None
    assert (plan.new, plan.taken) == (1, ("k",))
    assert "1 new length and 1 kept piece" in plan.verdict


def test_a_kept_length_may_be_entered_either_way_round() -> None:
    lying, standing = as_lengths([kept(1150, 10), kept(10, 1150)])

    assert lying == standing
    assert (lying.width, lying.height) == (mm(1150), Length(1))


def test_a_length_that_no_kept_piece_helps_says_so() -> None:
    plan = planned_lengths(
        [EdgePiece(place="wall", length=mm(2400).ticks)],
        stock=mm(2500).ticks,
        kerf=mm(3).ticks,
        words="trim",
        rack=(kept(1150, 10),),
    )

    assert plan is not None
    assert (plan.new, plan.taken) == (1, ())
    assert plan.verdict == "1 new length; no kept piece helps."


def test_a_rest_of_roll_lies_as_it_lay_on_the_roll() -> None:
    found = as_rolls(
        [kept(2400, 1000), kept(600, 1000), kept(400, 300), kept(1100, 1200)], mm(1000)
    )

    assert [(one.width, one.height) for one in found] == [
        (mm(1000), mm(2400)),
        (mm(1000), mm(600)),
        (mm(300), mm(400)),
    ]


def strips(*rack: RackPiece, height: int = 2000, price: int = 880) -> StripPlan:
    roll = RollSize(key="5", words="roll 5 m", length=mm(5000).ticks, price=price)
    area = Area(
        place="Floor", left=0, bottom=0, right=mm(1900).ticks, top=mm(height).ticks
    )
    rolls = Rolls(sizes=(roll,), width=mm(1000).ticks, rack=as_rolls(rack, mm(1000)))
    found = planned_strips([area], rolls, lap=mm(50).ticks)
    assert found is not None
    return found


def test_a_rest_of_roll_saves_the_second_roll() -> None:
    alone, helped = strips(height=3000), strips(kept(3100, 1000), height=3000)

    assert alone.rolls == {"5": 2}
    assert helped.rolls == {"5": 1}
    assert (helped.plan.new, helped.plan.taken) == (1, ("k",))
    assert helped.unrolled == mm(3000).ticks
    assert helped.plan.verdict.startswith("1 new roll and 1 kept piece")


def test_a_floor_may_be_covered_from_the_rack_alone() -> None:
    found = strips(kept(1000, 4000))

    assert (found.rolls, found.unrolled) == ({"5": 0}, 0)
    assert found.plan.verdict.startswith("0 new rolls and 1 kept piece; nothing")


def test_a_rest_that_counts_like_new_is_cut_only_in_the_place_of_a_roll() -> None:
    """4.1 of 5 m of a roll count less than a roll; 2 m beside a whole one, more."""
    assert strips(kept(1000, 4100, value="1")).plan.taken == ("k",)
    assert strips(kept(1000, 2000, value="1")).plan.taken == ()


def test_a_rest_of_roll_counts_by_the_cheapest_roll() -> None:
    """Four metres of it at half the price of the 5 m roll: 880 × 4/5 ÷ 2."""
    found = strips(kept(1000, 4000, value="1/2"))

    assert found.plan.cut.cost == 880 * 4 // 5 // 2


PACKS = [PackFacts(key="10", label="roll 10 m", content=Fraction(10), price=275)]


def band(length: int, *rack: RackPiece) -> BandPlan:
    runs = [Run(place="corner", length=mm(length).ticks)]
    found = planned_bands(
        runs, PACKS, lap=mm(50).ticks, ticks=mm(1000).ticks, rack=rack
    )
    assert found is not None
    return found


def test_a_rest_of_band_saves_a_roll_and_laps_the_next() -> None:
    found = band(12_000, kept(3000, 120))

    assert found.rolls == {"10": 1}
    assert found.plan.taken == ("k",)
    lengths = sum(
        piece.width for sheet in found.plan.cut.sheets for piece in sheet.pieces
    )
    assert lengths == mm(12_050).ticks
    assert found.unrolled == mm(12_050 - 3_000).ticks
    assert found.plan.verdict.startswith("1 new roll and 1 kept piece")


def test_a_rest_of_band_that_saves_no_roll_stays() -> None:
    found = band(8_000, kept(3000, 120))

    assert (found.rolls, found.plan.taken) == ({"10": 1}, ())
    assert found.plan.verdict == (
        "1 new roll, the best plan found; no kept piece was found to help."
    )


def test_a_band_may_come_from_the_rack_alone() -> None:
    found = band(2_900, kept(3000, 120), kept(2000, 120, key="l"))

    assert (found.rolls, found.unrolled) == ({}, 0)
    assert (found.plan.new, found.plan.taken) == (0, ("k",))


def test_a_rest_worth_more_than_a_roll_is_not_cut() -> None:
    """Nine metres that count in full beat a new roll, ten metres and a lap do not."""
    assert band(8_900, kept(9_000, 120, value="1")).plan.taken == ("k",)
    assert band(8_900, kept(12_000, 120, value="1")).plan.taken == ()


def test_the_working_names_the_pieces() -> None:
    marked = replace(kept(1000, 4000), mark="R-7")

    (step,) = rack_steps(strips(marked).plan)

    assert (step.label, step.formula, step.result) == (
        "From the rack",
        "R-7",
        "1 piece",
    )
    assert rack_steps(strips().plan) == ()
