"""Entries folded per line."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from moneyed import Money

from jobs.core.ledger import (
    Bought,
    Budgeted,
    Entry,
    Returned,
    Used,
    Worked,
    fold,
)
from jobs.core.variance import Measure
from materials.core.errors import Unknown

DAY = date(2026, 5, 18)


def usd(text: str) -> Money:
    return Money(text, "USD")


def budgeted(key: str, cost_class: str, quantity: str, cost: str) -> Budgeted:
    return Budgeted(
        key=key,
        cost_class=cost_class,
        text=key,
        unit="box",
        quantity=Fraction(quantity),
        cost=usd(cost),
    )


TILE = budgeted("tile", "materials", "7", "498.40")
SET = budgeted("set", "labour", "15", "690.00")
OVERHEAD = budgeted("overhead", "overhead", "15", "217.50")
BUDGET = [TILE, SET, OVERHEAD]


def bought(quantity: str, net: str, *, line: str = "tile", received: bool = True,
           tax: str = "0.00", text: str = "") -> Bought:  # fmt: skip
    return Bought(
        line=line,
        on=DAY,
        quantity=Fraction(quantity),
        net=usd(net),
        tax_cost=usd(tax),
        received=received,
        text=text,
    )


def worked(hours: str, *, line: str = "set") -> Worked:
    return Worked(
        line=line,
        on=DAY,
        hours=Fraction(hours),
        wage=usd("46.00"),
        overhead=usd("14.50"),
    )


def test_a_purchase_is_committed_when_ordered_and_actual_when_it_arrives() -> None:
    folded = fold(
        BUDGET,
        [bought("5", "350.00"), bought("3", "210.00", received=False)],
        currency="USD",
    )

    tile = folded.lines[0]
    assert tile.committed == Measure(quantity=Fraction(8), cost=usd("560.00"))
    assert tile.actual == Measure(quantity=Fraction(5), cost=usd("350.00"))


def test_tax_that_cannot_be_recovered_is_cost() -> None:
    folded = fold(BUDGET, [bought("1", "70.00", tax="14.00")], currency="USD")

    assert folded.lines[0].actual.cost == usd("84.00")


def test_a_return_takes_quantity_and_credit_off() -> None:
    back = Returned(line="tile", on=DAY, quantity=Fraction(1), credit=usd("63.00"))

    folded = fold(BUDGET, [bought("8", "560.00"), back], currency="USD")

    assert folded.lines[0].actual.quantity == 7
    assert folded.lines[0].actual.cost == usd("497.00")
    assert folded.stock["tile"].on_hand == 7


def test_use_and_breakage_leave_the_rest_on_hand() -> None:
    used = [
        Used(line="tile", on=DAY, quantity=Fraction(6)),
        Used(line="tile", on=DAY, quantity=Fraction(1, 2), how="broken"),
    ]

    folded = fold(BUDGET, [bought("8", "560.00"), *used], currency="USD")

    assert folded.stock["tile"].on_hand == Fraction(3, 2)
    assert not folded.stock["tile"].is_short


def test_more_used_than_bought_shows_as_short() -> None:
    used = Used(line="tile", on=DAY, quantity=Fraction(6))

    assert fold(BUDGET, [used], currency="USD").stock["tile"].is_short


def test_each_hour_carries_its_overhead() -> None:
    folded = fold(BUDGET, [worked("2"), worked("1.5")], currency="USD")

    assert folded.lines[1].actual.cost == usd("161.00")
    assert folded.lines[2].actual.cost == usd("50.75")
    assert folded.hours == Fraction(7, 2)


def test_overhead_gets_a_line_of_its_own_where_the_quote_had_none() -> None:
    folded = fold([TILE, SET], [worked("2")], currency="USD")

    assert folded.lines[-1].cost_class == "overhead"
    assert folded.lines[-1].quoted.cost == usd("0.00")
    assert folded.lines[-1].actual.cost == usd("29.00")


def test_what_nobody_budgeted_gets_a_line_of_its_own() -> None:
    folded = fold(
        BUDGET, [bought("1", "9.90", line="", text="Drill bit")], currency="USD"
    )

    assert folded.lines[-1].text == "Drill bit"
    assert folded.lines[-1].split.total == usd("9.90")


def test_an_entry_on_no_line_is_refused() -> None:
    with pytest.raises(Unknown):
        fold(BUDGET, [bought("1", "1.00", line="marble")], currency="USD")


QUANTITY = st.fractions(0, 100, max_denominator=8)
ENTRIES = st.lists(
    st.one_of(
        st.builds(
            lambda quantity, cents: bought(str(quantity), f"{cents}.00"),
            QUANTITY,
            st.integers(0, 500),
        ),
        st.builds(lambda hours: worked(str(hours)), QUANTITY),
        st.builds(
            lambda quantity, how: Used(line="tile", on=DAY, quantity=quantity, how=how),
            QUANTITY,
            st.sampled_from(["used", "broken", "left"]),
        ),
    ),
    max_size=12,
)


@given(ENTRIES, st.randoms(use_true_random=False))
def test_the_order_of_entries_does_not_matter(
    entries: list[Entry], random: object
) -> None:
    shuffled = list(entries)
    random.shuffle(shuffled)  # type: ignore[attr-defined]

    assert fold(BUDGET, entries, currency="USD") == fold(
        BUDGET, shuffled, currency="USD"
    )
