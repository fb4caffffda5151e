"""The records of what is chosen beside the measuring."""

from __future__ import annotations

from fractions import Fraction

from moneyed import Money

from quotes.core.choices import ExtraLabour, HandLine, Rates, Terms

FORTY = Money("40", "GBP")


def test_rates_begin_with_nothing_added() -> None:
    rates = Rates(setter_wage=FORTY, helper_wage=FORTY, overhead_per_hour=FORTY)

    assert (rates.materials_rate, rates.contingency, rates.sales_tax) == (0, 0, 0)
    assert (rates.method, rates.tax_basis) == ("markup", "document")


def test_a_hand_line_is_labour_without_a_cost_unless_it_says_so() -> None:
    line = HandLine(text="Five tiles", quantity=Fraction(5), unit_price=FORTY)

    assert (line.cost_class, line.unit_cost) == ("labour", None)


def test_added_labour_has_no_factor_and_terms_no_deposit() -> None:
    assert ExtraLabour(operation="x", quantity=Fraction(1)).factor == 1
    assert Terms().deposit == 0
