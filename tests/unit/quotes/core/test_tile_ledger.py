"""The ledger adds up to the boxes, and its chance falls with every box."""

from __future__ import annotations

from fractions import Fraction

from materials.core.lengths import MM
from quotes.core.layout.counting import count
from quotes.core.layout.records import Rules, SetOut, rectangle
from quotes.core.layout.reuse import cut_plan
from quotes.core.tile_counts import TilePlan
from quotes.core.tile_ledger import ledger_of, pooled
from tests.pattern_proof import built


def a_plan(times: int = 1) -> TilePlan:
    lattice = built("running_bond", "3", length=600, width=300, offset="1/2")
    room = rectangle(2_500 * MM, 2_000 * MM)
    tallies = (count(room, lattice, SetOut(), Rules()),)
    return TilePlan(
        pattern="Running bond",
        places=("Bath, floor",),
        times=(times,),
        tallies=tallies,
        plan=cut_plan(tallies, Rules()),
        rules=Rules(),
    )


def test_the_lines_of_the_ledger_add_up_to_the_tiles_bought() -> None:
    plan = a_plan()
    ledger = ledger_of([plan], quantity=plan.needed + 3, needed=plan.needed, per_box=8)

    parts = ledger.full + ledger.cuts - ledger.reused + ledger.extra + ledger.rounding
    assert parts == ledger.bought == ledger.boxes * 8
    assert ledger.extra == 3
    assert 0 <= ledger.rounding < 8


def test_a_part_that_stands_three_times_is_counted_three_times() -> None:
    one, three = pooled([a_plan()]), pooled([a_plan(3)])

    assert (three.full, three.cut, three.strict) == (
        3 * one.full,
        3 * one.cut,
        3 * one.strict,
    )


def test_more_boxes_are_less_likely_to_fall_short() -> None:
    plan = a_plan()
    chances = [
        ledger_of(
            [plan], quantity=plan.needed + extra, needed=plan.needed, per_box=1
        ).short_chance
        for extra in range(4)
    ]

    assert chances == sorted(chances, reverse=True)
    assert 0 < chances[-1] < chances[0] < 1
    assert ledger_of(
        [plan], quantity=plan.plan.strict - 1, needed=plan.needed, per_box=1
    ).short_chance == Fraction(1)
