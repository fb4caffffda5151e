"""Money arithmetic: extend, total, share, tax. The only rounding of money.

Amounts are `moneyed.Money`. An amount is a whole number of the currency's minor
units (ISO 4217); a unit price may have four places. Everything rounds half up, away
from zero, so that a credit note mirrors its invoice to the cent.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache

from moneyed import Money, get_currency
from moneyed.classes import Currency, CurrencyDoesNotExist

from materials.core import quantities
from materials.core.errors import MixedCurrencies, NotANumber, OutOfRange, Unknown

UNITS_PER_WHOLE = 10_000
"""Money is stored as integers of 1/10,000 of the currency unit."""

LARGEST_UNITS = 10**15
"""No single amount above a hundred thousand million: a slip of the thumb."""

_PLAIN = re.compile(r"[-\u2212]?(?:[0-9]{1,12}(?:\.[0-9]{1,4})?|\.[0-9]{1,4})")


def currency(code: str) -> Currency:
    """Return the ISO 4217 currency of a code.

    Raises: Unknown for a code that names none.
    """
    try:
        return get_currency(code)
    except CurrencyDoesNotExist as error:
        raise Unknown(
            f"“{code[:8]}” is no ISO 4217 currency code; write USD, GBP or EUR."
        ) from error


@lru_cache(maxsize=64)
def minor_digits(code: str) -> int:
    """Return how many decimals the currency's amounts have (ISO 4217)."""
    return len(str(currency(code).sub_unit)) - 1


def minor_step(code: str) -> Fraction:
    """Return the smallest payable amount of the currency, in whole units."""
    return Fraction(1, 10 ** minor_digits(code))


def from_units(units: int, code: str) -> Money:
    """Return the money of so many 1/10,000 of the currency unit, exactly.

    Written with the currency's decimals, or with four when it has a finer part.
    """
    kind = currency(code)
    digits = minor_digits(code)
    step = UNITS_PER_WHOLE // 10**digits
    if units % step:
        return Money(Decimal(units).scaleb(-4), kind)
    return Money(Decimal(units // step).scaleb(-digits), kind)


def to_units(money: Money) -> int:
    """Return the money in 1/10,000 of the currency unit.

    Raises: OutOfRange if it has more than four places, is not finite or is absurd.
    """
    return units_of(money.amount)


def units_of(amount: Decimal) -> int:
    """Return a bare amount in 1/10,000 of its currency unit, refusing as `to_units`."""
    _check_finite(amount)
    top, low = amount.as_integer_ratio()
    units, rest = divmod(top * UNITS_PER_WHOLE, low)
    if rest:
        raise OutOfRange(f"{amount} has more than four decimals; round it first.")
    if abs(units) > LARGEST_UNITS:
        raise OutOfRange(f"{amount} is too large an amount; check the decimal point.")
    return units


def exact(money: Money) -> Fraction:
    """Return the amount as an exact fraction of the currency unit.

    Raises: OutOfRange if it is not finite or is absurd.
    """
    return _finite(money.amount)


def _finite(amount: Decimal) -> Fraction:
    _check_finite(amount)
    return Fraction(amount)


def _check_finite(amount: Decimal) -> None:
    if not amount.is_finite():
        raise OutOfRange(f"{amount} is not an amount of money.")
    if not -100 < amount.adjusted() < len(str(LARGEST_UNITS)):
        raise OutOfRange("That is too large an amount; check the decimal point.")


def money(value: Fraction | int | str, code: str) -> Money:
    """Return an amount rounded half up to the currency's minor unit.

    Raises: NotANumber or OutOfRange as `parse_money` does for a text.
    """
    if isinstance(value, str):
        return parse_money(value, code)
    step = minor_step(code)
    return _of_fraction(quantities.half_up(Fraction(value), step), code)


def unit_price(value: Fraction | int | str, code: str) -> Money:
    """Return a price per unit, rounded half up to four places.

    Raises: NotANumber for a text that is no plain amount; OutOfRange if absurd.
    """
    amount = _plain(value) if isinstance(value, str) else Fraction(value)
    return _of_fraction(quantities.half_up(amount, Fraction(1, UNITS_PER_WHOLE)), code)


def _of_fraction(value: Fraction, code: str) -> Money:
    units = int(value * UNITS_PER_WHOLE)
    if abs(units) > LARGEST_UNITS:
        raise OutOfRange("That is too large an amount; check the decimal point.")
    return from_units(units, code)


def _plain(text: str) -> Fraction:
    cleaned = text.strip()
    if _PLAIN.fullmatch(cleaned) is None:
        raise NotANumber(
            f"“{text[:40]}” is not an amount; write 12 or 12.50: digits "
            "and one point, no commas and no currency sign."
        )
    return Fraction(cleaned.replace("\u2212", "-"))


def parse_money(text: str, code: str) -> Money:
    """Return the amount typed as plain digits with at most the currency's decimals.

    Raises: NotANumber for anything but digits and one point; OutOfRange for more
    decimals than the currency has.
    """
    value = _plain(text)
    if (value / minor_step(code)).denominator != 1:
        digits = minor_digits(code)
        raise OutOfRange(
            f"{text.strip()} has more decimals than {code}, which has {digits}."
        )
    return _of_fraction(value, code)


def extend(price: Money, quantity: Fraction) -> Money:
    """Return price × quantity, rounded once, half up, to the minor unit.

    The only meeting point of a price and a quantity: Money knows no Fractions.
    Raises: OutOfRange if the product is absurd.

    >>> extend(Money("2.665", "USD"), Fraction(1))
    Money('2.67', 'USD')
    """
    return money(exact(price) * quantity, price.currency.code)


def total(amounts: Iterable[Money], code: str) -> Money:
    """Return the sum of amounts of one currency; of none, nothing in that currency.

    Raises: MixedCurrencies if any amount is of another currency.
    """
    units = 0
    for amount in amounts:
        if amount.currency.code != code:
            raise MixedCurrencies(
                f"{amount} cannot be added to amounts in {code}; "
                "one document has one currency."
            )
        units += to_units(amount)
    return from_units(units, code)


def share(amount: Money, weights: list[int]) -> list[Money]:
    """Return parts of an amount in proportion to weights, adding up to the cent.

    Method: largest remainder, ties to the earlier part (`quantities.share`).
    Raises: OutOfRange if the amount is not a whole number of minor units.
    """
    code = amount.currency.code
    step = UNITS_PER_WHOLE // 10 ** minor_digits(code)
    minor, rest = divmod(to_units(amount), step)
    if rest:
        raise OutOfRange(f"{amount} is not a whole number of the smallest unit.")
    return [from_units(part * step, code) for part in quantities.share(minor, weights)]


def percent_of(amount: Money, rate: Fraction) -> Money:
    """Return rate × amount, half up; `rate` is a fraction (20 % is 1/5)."""
    return money(exact(amount) * rate, amount.currency.code)


def plain(amount: Money) -> str:
    """Return the amount as plain digits with the currency's decimals: `1234.50`."""
    return quantities.fixed_text(
        exact(amount), places=minor_digits(amount.currency.code)
    )


def zero(code: str) -> Money:
    """Return nothing, in a currency."""
    return from_units(0, code)
