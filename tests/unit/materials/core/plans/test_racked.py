"""Kept pieces beside new stock: used where they save, left where they cost."""

from __future__ import annotations

from fractions import Fraction

from materials.core.lengths import Length
from materials.core.need import RackPiece
from materials.core.plans.board_sheets import Sheet
from materials.core.plans.boards import planned_boards
from materials.core.plans.edges import EdgePiece, planned_lengths
from materials.core.plans.racked import NEW_PRICE, kept_stock
from materials.core.plans.records import MaterialPlan
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
