"""Printed tax amounts that only rounding half up, away from zero, reproduces."""

from __future__ import annotations

from decimal import ROUND_HALF_EVEN, Decimal
from fractions import Fraction

import pytest
from moneyed import Money

from materials.core import amounts
from tests.published.source_files import load

DATA = load("en16931_invoices")


@pytest.mark.parametrize("case", DATA["tax"], ids=lambda case: case["id"])
def test_a_share_of_an_amount_is_the_printed_one(case: dict[str, str]) -> None:
    rate = Fraction(case["percent"]) / 100

    assert amounts.percent_of(Money(case["base"], "EUR"), rate) == Money(
        case["amount"], "EUR"
    )


@pytest.mark.parametrize("case", DATA["tax_refused"], ids=lambda case: case["id"])
def test_an_amount_that_must_be_rejected_does_not_come_out(
    case: dict[str, str],
) -> None:
    rate = Fraction(case["percent"]) / 100

    assert amounts.percent_of(Money(case["base"], "EUR"), rate) != Money(
        case["amount"], "EUR"
    )


def printed_halves() -> list[tuple[Decimal, Decimal]]:
    """Return exact products that lie half-way, with the amount printed for them."""
    rows = [
        (row["base"], row["percent"], row["amount"])
        for case in DATA["case"]
        for row in case["taxes"]
    ]
    exact = [
        (Decimal(base) * Decimal(percent) / 100, Decimal(amount))
        for base, percent, amount in rows
    ]
    return [(value, amount) for value, amount in exact if abs(value * 1000) % 10 == 5]


def test_printed_invoices_hold_halves_that_rounding_to_even_gets_wrong() -> None:
    halves = printed_halves()
    cent = Decimal("0.01")

    for value, printed in halves:
        ours = amounts.money(Fraction(value), "EUR")
        assert ours == Money(printed, "EUR")
    wrong = [
        value
        for value, printed in halves
        if value.quantize(cent, rounding=ROUND_HALF_EVEN) != printed
    ]
    assert Decimal("156435.885") in wrong
    assert Decimal("-156435.885") in wrong
    assert Decimal("365.125") in wrong
