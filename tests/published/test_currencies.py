"""How many decimals a currency has, by ISO 4217: against three packages."""

from __future__ import annotations

import iso4217
import pycountry
import pytest
from babel.numbers import get_currency_precision
from django.conf import settings
from moneyed import CURRENCIES

from materials.core import amounts
from tests.published.source_files import load

ACTIVE = sorted(
    currency.code
    for currency in iso4217.Currency
    if currency.exponent is not None and currency.code in CURRENCIES
)
CLDR_PRINTS_FEWER = {
    "AFN", "ALL", "IQD", "IRR", "KPW", "LAK", "LBP", "MGA", "MMK", "RSD", "SOS", "SYP",
    "YER",
}  # fmt: skip


@pytest.mark.parametrize("case", load("iso_4217")["case"], ids=lambda case: case["id"])
def test_printed_decimals(case: dict[str, str]) -> None:
    assert amounts.minor_digits(case["id"]) == int(case["digits"])


def test_every_active_currency_has_the_decimals_of_iso4217() -> None:
    wrong = {
        code
        for code in ACTIVE
        if amounts.minor_digits(code) != iso4217.Currency(code).exponent
    }

    assert wrong == set()
    assert len(ACTIVE) > 150


def test_every_active_currency_has_the_decimals_of_babel_or_a_known_reason() -> None:
    wrong = {
        code
        for code in ACTIVE
        if amounts.minor_digits(code) != get_currency_precision(code)
    }

    assert wrong <= CLDR_PRINTS_FEWER
    for code in wrong:
        assert get_currency_precision(code) < amounts.minor_digits(code)


@pytest.mark.parametrize("code", settings.CURRENCIES)
def test_a_currency_of_the_program_is_known_to_all(code: str) -> None:
    listed = pycountry.currencies.get(alpha_3=code)

    assert listed is not None
    assert listed.numeric == amounts.currency(code).numeric
    assert get_currency_precision(code) == amounts.minor_digits(code)
    assert iso4217.Currency(code).exponent == amounts.minor_digits(code)
