"""Money, shares and the core's labels as the reader's language writes them."""

from __future__ import annotations

from fractions import Fraction
from urllib.parse import urlencode

from django.utils.formats import number_format
from django.utils.translation import gettext as _
from moneyed import Money

from materials.core import amounts
from materials.core.quantities import decimal_text


def core_words(text: str) -> str:
    """Return a label of the core (an operation, a kind, a fact) in the language.

    What a person typed is no message of the catalogue, and stays as it was typed.
    """
    return _(text) if text else text


def money_words(value: Money) -> str:
    """Return an amount for a sentence: thousands apart, a true minus, no currency.

    Rounds: nothing; as many decimals as the currency has.
    """
    digits = amounts.minor_digits(value.currency.code)
    number = number_format(abs(value.amount), decimal_pos=digits, force_grouping=True)
    return f"−{number}" if value.amount < 0 else number


def percent_words(rate: Fraction, *, places: int = 4) -> str:
    """Return a share as the language writes it: `7.25%` or `20 %`.

    Rounds: down to so many decimals, which no rate of tax exceeds.
    """
    share = decimal_text(rate * 100, places=places).replace("-", "−")
    return _("%(share)s\u00a0%%") % {"share": share}


def query_of(**asked: str) -> str:
    """Return what a list was asked for, to stand before `page=` in an address."""
    given = {name: value for name, value in asked.items() if value}
    return f"{urlencode(given)}&" if given else ""
