"""Orders: ledgers that add up, quantiles against a simulation, refusals."""

from __future__ import annotations

import random
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.core.errors import OutOfRange
from quotes.core.layout.orders import Habits, OrderWish, need_chances, order
from quotes.core.layout.reuse import ItemPlan
from quotes.core.pattern import oblong
from tests.cases import some_cases


def plan(full: int, cut: int, strict: int) -> ItemPlan:
    return ItemPlan(
        item=oblong("tile", 300, 300), full=full, cut=cut, area_bound=strict,
        free=strict, strict=strict, lower_bound=strict, tiles=(),
    )  # fmt: skip


@st.composite
def plans(draw: st.DrawFn) -> ItemPlan:
    full, cut = draw(st.integers(0, 300)), draw(st.integers(0, 80))
    return plan(full, cut, full + draw(st.integers(0, cut)))


@given(plan=plans(), spares=st.integers(0, 9), per_box=st.integers(1, 40))
@some_cases
def test_the_ledger_adds_up_to_the_boxes(
    plan: ItemPlan, spares: int, per_box: int
) -> None:
    line = order(plan, habits=Habits(), wish=OrderWish(spares=spares, per_box=per_box))

    assert (
        line.full + line.cuts - line.reused + line.broken + line.spare + line.rounding
        == line.boxes * per_box
    )
    assert 0 <= line.reused <= plan.no_reuse - plan.strict
    assert 0 <= line.rounding < per_box
    assert line.needed >= plan.strict
    assert line.short_chance <= Fraction(5, 100)


@given(plan=plans())
@some_cases
def test_chances_add_up_to_one(plan: ItemPlan) -> None:
    assert abs(sum(need_chances(plan, Habits())) - 10**18) < 10**10


@given(plan=plans())
@some_cases
def test_more_certainty_never_orders_less(plan: ItemPlan) -> None:
    orders = [
        order(plan, habits=Habits(), wish=OrderWish(certainty=Fraction(c, 100))).bought
        for c in (50, 75, 95, 99)
    ]

    assert orders == sorted(orders)


def test_the_chance_of_running_short_is_that_of_a_simulation() -> None:
    job = plan(60, 30, 72)
    line = order(job, habits=Habits(), wish=OrderWish(certainty=Fraction(9, 10)))
    rng = random.Random(7)
    short = 0
    for _ in range(20_000):
        lost = (1 - rng.betavariate(6, 2)) * (job.no_reuse - job.strict)
        broken, left = 0, rng.expovariate(1)
        while left < 0.03 * 30 + 0.005 * 60:
            broken += 1
            left += rng.expovariate(1)
        short += job.strict + -(-lost // 1) + broken > line.bought

    assert abs(short / 20_000 - float(line.short_chance)) < 0.01


def test_nothing_saveable_and_nothing_broken_orders_the_plan() -> None:
    calm = Habits(broken_a_cut=Fraction(0), broken_a_whole=Fraction(0))

    line = order(plan(40, 9, 49), habits=calm, wish=OrderWish())

    assert (line.bought, line.short_chance) == (49, 0)


def test_a_setter_who_saves_more_needs_less() -> None:
    job = plan(40, 40, 60)
    careful = Habits(saved=60, not_saved=2)

    assert (
        order(job, habits=careful, wish=OrderWish()).bought
        < order(job, habits=Habits(), wish=OrderWish()).bought
    )


@pytest.mark.parametrize("certainty", ["0", "1", "2", "-1/2"])
def test_a_certainty_that_is_no_chance_is_refused(certainty: str) -> None:
    with pytest.raises(OutOfRange, match="certainty"):
        OrderWish(certainty=Fraction(certainty))


@pytest.mark.parametrize(
    "habits", [{"saved": 0}, {"not_saved": 0}, {"broken_a_cut": Fraction(2)}]
)
def test_habits_that_cannot_be_are_refused(habits: dict[str, object]) -> None:
    with pytest.raises(OutOfRange):
        Habits(**habits)  # type: ignore[arg-type]
