"""The ledger adds up to the boxes, and its chance falls with every box."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from materials.core.lengths import MM
from materials.core.need import MaterialFacts
from quotes.core.layout.counting import count
from quotes.core.layout.orders import ASSUMED, Ordering
from quotes.core.layout.records import Rules, SetOut, rectangle
from quotes.core.layout.reuse import cut_plan
from quotes.core.tile_counts import TilePlan
from quotes.core.tile_orders import ledger_of, order_of, ordering_for, pooled
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
    needed = order_of([plan]).needed
    ledger = ledger_of([plan], quantity=needed + 3, per_box=8)

    parts = ledger.full + ledger.cuts - ledger.reused + ledger.broken
    assert parts == ledger.needed == needed
    assert parts + ledger.spare + ledger.rounding == ledger.bought == ledger.boxes * 8
    assert ledger.spare == 3
    assert 0 <= ledger.rounding < 8


def test_what_is_ordered_is_enough_as_often_as_the_business_asks() -> None:
    for certainty in (Fraction(1, 2), Fraction(3, 4), Fraction(95, 100)):
        plan = replace(a_plan(), ordering=Ordering(certainty=certainty))
        needed = order_of([plan]).needed

        assert ledger_of([plan], quantity=needed, per_box=1).short_chance <= (
            1 - certainty
        )
        fewer = ledger_of([plan], quantity=needed - 1, per_box=1)
        assert fewer.short_chance > 1 - certainty


def test_two_parts_ordered_together_take_no_more_than_each_alone() -> None:
    one, three = a_plan(), a_plan(3)

    assert order_of([one, three]).needed <= (
        order_of([one]).needed + order_of([three]).needed
    )


def test_a_tile_that_breaks_by_its_own_rate_breaks_by_no_other() -> None:
    tile = MaterialFacts(code="T", name="Tile", kind="tile", facts={})
    brittle = replace(tile, facts={"loss": Fraction(1, 10)})

    assert ordering_for(tile, {}, ASSUMED) == ASSUMED
    own = ordering_for(brittle, {}, ASSUMED).habits
    assert (own.broken_a_cut, own.broken_a_whole) == (Fraction(1, 10),) * 2
    never = ordering_for(brittle, {"loss": Fraction(0)}, ASSUMED).habits
    assert (never.broken_a_cut, never.broken_a_whole) == (0, 0)
    assert never.saved == ASSUMED.habits.saved


def test_a_part_that_stands_three_times_is_counted_three_times() -> None:
    one, three = pooled([a_plan()]), pooled([a_plan(3)])

    assert (three.full, three.cut, three.strict) == (
        3 * one.full,
        3 * one.cut,
        3 * one.strict,
    )


def test_more_boxes_are_less_likely_to_fall_short() -> None:
    plan = a_plan()
    needed = order_of([plan]).needed
    chances = [
        ledger_of([plan], quantity=needed + extra, per_box=1).short_chance
        for extra in range(4)
    ]

    assert chances == sorted(chances, reverse=True)
    assert 0 < chances[-1] < chances[0] < 1
    assert ledger_of(
        [plan], quantity=plan.plan.strict - 1, per_box=1
    ).short_chance == Fraction(1)
