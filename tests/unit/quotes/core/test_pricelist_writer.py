"""A price list written back, every figure exact."""

from __future__ import annotations

from fractions import Fraction

import pytest
from moneyed import Money

from materials.core.quantities import parse_number
from quotes.core.pricelist_writer import (
    exact_money,
    money_of_units,
    number,
    price_list_document,
)
from quotes.core.visit_file import read_visit
from tests.builders import a_bare_visit, a_shower


@pytest.mark.parametrize("text", ["0", "12", "12.5", "1/3", "0.0001", "7/11"])
def test_a_number_reads_back_exactly(text: str) -> None:
    assert number(Fraction(text)) == text
    assert parse_number(number(Fraction(text))) == Fraction(text)


def test_money_keeps_all_its_decimals() -> None:
    assert exact_money(Money("1.2345", "GBP")) == "1.2345"
    assert money_of_units(126_000) == "12.6"


def test_a_list_reads_back_to_the_same_list() -> None:
    price_list = read_visit(a_shower()).price_list
    assert price_list is not None

    again = a_bare_visit(
        unit="in", currency="USD", price_list=price_list_document(price_list)
    )

    assert read_visit(again).price_list == price_list
