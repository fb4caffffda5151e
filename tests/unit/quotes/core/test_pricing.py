from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from moneyed import Money

from materials.core import amounts
from materials.core.errors import OutOfRange, Refusal, Unknown
from quotes.core import pricing
from quotes.core.document import Line
from quotes.core.pricing import Addition
from tests.cases import many_cases

CODES = ("JPY", "USD", "KWD", "CLF")


def _line(key, cost_class, cost, price):
    return Line(
        key=key,
        cost_class=cost_class,
        text=key,
        section=key,
        cost=Money(cost, "GBP"),
        price=Money(price, "GBP"),
    )


@pytest.mark.parametrize(
    ("method", "rate", "cost", "price"),
    [
        ("markup", "0.25", "80.00", "100.00"),
        ("margin", "0.20", "80.00", "100.00"),
        ("markup", "0.20", "80.00", "96.00"),
        ("margin", "0.25", "80.00", "106.67"),
        ("markup", "0", "12.34", "12.34"),
        ("margin", "0", "12.34", "12.34"),
        ("markup", "0.175", "0.20", "0.24"),
    ],
)
def test_markup_is_on_cost_and_margin_is_of_price(method, rate, cost, price):
    addition = Addition(method=method, labour=Fraction(rate))

    assert pricing.priced(Money(cost, "GBP"), "labour", addition) == Money(price, "GBP")


@given(st.integers(0, 10**9), st.fractions(0, Fraction(99, 100), max_denominator=999))
def test_a_margin_is_the_markup_that_earns_it(units, margin):
    cost = amounts.from_units(units * 100, "GBP")

    markup = margin / (1 - margin)

    assert pricing.with_margin(cost, margin) == pricing.marked_up(cost, markup)


def test_each_class_has_its_own_share():
    addition = Addition(
        method="markup",
        materials=Fraction(1, 10),
        labour=Fraction(1, 5),
        other=Fraction(1, 2),
    )
    hundred = Money("100.00", "GBP")

    prices = [
        amounts.plain(pricing.priced(hundred, name, addition))
        for name in ("materials", "labour", "hire", "overhead")
    ]

    assert prices == ["110.00", "120.00", "150.00", "150.00"]


@pytest.mark.parametrize(
    ("method", "rate", "error"),
    [
        ("margin", "1", OutOfRange),
        ("margin", "1.2", OutOfRange),
        ("markup", "-0.1", OutOfRange),
        ("profit", "0.1", Unknown),
    ],
)
def test_a_share_that_cannot_be_is_refused(method, rate, error):
    addition = Addition(method=method, labour=Fraction(rate))

    with pytest.raises(error) as caught:
        pricing.priced(Money("1.00", "GBP"), "labour", addition)

    assert caught.value.field.startswith("rates")


def test_the_working_names_the_method():
    cost = Money("80.00", "GBP")
    markup = Addition(method="markup", labour=Fraction(1, 4))
    margin = Addition(method="margin", labour=Fraction(1, 5))

    assert (
        pricing.price_step(cost, "labour", markup).formula
        == "80.00 × (1 + 25 % markup on cost)"
    )
    assert (
        pricing.price_step(cost, "labour", margin).formula
        == "80.00 ÷ (1 − 20 % margin of price)"
    )


@pytest.mark.parametrize(
    ("amount", "step", "rounded"),
    [
        ("587.19", "0.05", "587.20"),
        ("587.175", "0.05", "587.20"),
        ("1234.99", "10", "1230.00"),
        ("1235.00", "10", "1240.00"),
        ("-1235.00", "10", "-1240.00"),
    ],
)
def test_a_sum_rounds_to_the_nearest_step_halves_up(amount, step, rounded):
    assert pricing.to_step(Money(amount, "GBP"), Money(step, "GBP")) == Money(
        rounded, "GBP"
    )


def test_classes_are_summed_in_their_usual_order():
    lines = [
        _line("a", "labour", "10.00", "12.00"),
        _line("b", "materials", "5.00", "6.00"),
        _line("c", "labour", "1.00", "1.20"),
    ]

    found = pricing.class_totals(lines, code="GBP")

    assert [(one.cost_class, amounts.plain(one.cost)) for one in found] == [
        ("materials", "5.00"),
        ("labour", "11.00"),
    ]
    assert found[1].price == Money("13.20", "GBP")


def test_the_margin_of_no_price_is_none():
    assert pricing.margin_of(Money("0", "GBP"), Money("10", "GBP")) == 0
    assert pricing.margin_of(Money("100", "GBP"), Money("80", "GBP")) == Fraction(1, 5)


@many_cases
@given(
    st.sampled_from(CODES),
    st.integers(-(10**9), 10**9),
    st.lists(st.integers(0, 1000), min_size=1, max_size=12),
)
def test_payments_add_up_and_stay_within_a_coin_of_their_share(code, minor, weights):
    assume(any(weights))
    step = amounts.minor_step(code)
    gross = amounts.money(minor * step, code)
    whole = sum(weights)
    shares = [
        (f"stage-{place}", f"part {place}", Fraction(weight, whole))
        for place, weight in enumerate(weights)
    ]

    found = pricing.stages(gross, shares)

    assert amounts.total((one.amount for one in found), code) == gross
    for one in found:
        assert abs(amounts.exact(one.amount) - amounts.exact(gross) * one.share) < step


@pytest.mark.parametrize("shares", [["0.5", "0.4"], ["1.5", "-0.5"], []])
def test_payments_that_do_not_add_up_are_refused(shares):
    named = [("k", "words", Fraction(share)) for share in shares]

    with pytest.raises(OutOfRange, match="100 %"):
        pricing.stages(Money("100.00", "GBP"), named)


@pytest.mark.parametrize(
    ("deposit", "parts"),
    [
        ("0", [("balance", "99.99")]),
        ("0.3", [("deposit", "30.00"), ("balance", "69.99")]),
        ("1", [("deposit", "99.99")]),
    ],
)
def test_a_deposit_leaves_the_rest_to_the_end(deposit, parts):
    found = pricing.stages(
        Money("99.99", "GBP"), pricing.deposit_shares(Fraction(deposit))
    )

    assert [(one.key, amounts.plain(one.amount)) for one in found] == parts


@pytest.mark.parametrize("deposit", ["-0.1", "1.01"])
def test_a_deposit_outside_the_price_is_refused(deposit):
    with pytest.raises(Refusal) as caught:
        pricing.deposit_shares(Fraction(deposit))

    assert caught.value.field == "terms.deposit"
