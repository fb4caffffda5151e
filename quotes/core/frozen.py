"""Frozen records as plain JSON and back, by the types they declare.

Money is written as its plain amount beside its currency, a fraction as `3/8`, a date
as `2026-03-01`: nothing becomes a binary fraction on the way, so what is read back is
equal to what was written.
"""

from __future__ import annotations

import dataclasses
import re
import types
from collections.abc import Hashable, Mapping
from datetime import date
from fractions import Fraction
from functools import cache
from typing import TypeVar, Union, cast, get_args, get_origin, get_type_hints

from moneyed import Money

from materials.core import amounts
from materials.core.errors import Refusal
from materials.core.quantities import decimal_text

R = TypeVar("R")

_FRACTION = re.compile(r"-?[0-9]{1,400}(?:/[0-9]{1,400})?", re.ASCII)


class BadRecord(Refusal):
    """Stored JSON is not the record it should be."""

    code = "bad_record"


def plain(record: object) -> dict[str, object]:
    """Return a frozen record as a dictionary of JSON values."""
    return {
        field.name: _plain_value(getattr(record, field.name))
        for field in dataclasses.fields(record)  # type: ignore[arg-type]
    }


def _plain_value(value: object) -> object:
    if isinstance(value, bool | int | str) or value is None:
        return value
    if isinstance(value, Fraction):
        return str(value)
    if isinstance(value, Money):
        return {"amount": money_text(value), "currency": value.currency.code}
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, tuple):
        return [_plain_value(item) for item in value]
    if dataclasses.is_dataclass(value):
        return plain(value)
    raise BadRecord(f"A {type(value).__name__} cannot be stored in a quote.")


def money_text(value: Money) -> str:
    """Return an amount with the currency's decimals, more only where it has more.

    >>> money_text(Money("2.5", "USD")), money_text(Money("0.1212", "USD"))
    ('2.50', '0.1212')
    """
    exact = amounts.exact(value)
    text = amounts.plain(value)
    return text if Fraction(text) == exact else decimal_text(exact, places=4)


def record(kind: type[R], stored: object) -> R:
    """Return the record of stored JSON.

    Raises: BadRecord naming the path of what is missing, unknown or of another type.
    """
    if not isinstance(stored, Mapping):
        raise BadRecord(f"A {kind.__name__} was expected here.")
    hints = _hints(cast(Hashable, kind))
    for name in stored:
        if name not in hints:
            raise BadRecord(f"“{name}” is no part of a {kind.__name__}.", field=name)
    values: dict[str, object] = {}
    for field in dataclasses.fields(kind):  # type: ignore[arg-type]
        if field.name in stored:
            try:
                values[field.name] = _value(hints[field.name], stored[field.name])
            except Refusal as refusal:
                raise refusal.at(field.name) from refusal
        elif field.default is dataclasses.MISSING:
            raise BadRecord(f"A {kind.__name__} must say its {field.name}.")
    return kind(**values)


@cache
def _hints(kind: Hashable) -> dict[str, object]:
    return get_type_hints(kind)


def _value(hint: object, stored: object) -> object:
    if get_origin(hint) in (Union, types.UnionType):
        if stored is None:
            return None
        (hint,) = (arg for arg in get_args(hint) if arg is not type(None))
    if get_origin(hint) is tuple:
        return _sequence(hint, stored)
    if hint in (str, int, bool):
        if type(stored) is not hint:
            raise BadRecord(f"{stored!r} is not of the type expected here.")
        return stored
    if hint is Money:
        return _money(stored)
    if hint is Fraction or hint is date:
        return _read(hint, stored)
    if isinstance(hint, type) and dataclasses.is_dataclass(hint):
        return record(hint, stored)
    raise BadRecord(f"Nothing stored can be read as {hint}.")


def _sequence(hint: object, stored: object) -> tuple[object, ...]:
    if not isinstance(stored, list):
        raise BadRecord("A list was expected here.")
    item = get_args(hint)[0]
    values = []
    for place, part in enumerate(stored):
        try:
            values.append(_value(item, part))
        except Refusal as refusal:
            raise refusal.at(str(place)) from refusal
    return tuple(values)


def _money(stored: object) -> Money:
    if not isinstance(stored, Mapping) or set(stored) != {"amount", "currency"}:
        raise BadRecord("Money must say its amount and its currency.")
    return amounts.unit_price(str(stored["amount"]), str(stored["currency"]))


def _read(hint: object, stored: object) -> Fraction | date:
    text = str(stored)
    try:
        if hint is date:
            return date.fromisoformat(text)
        if _FRACTION.fullmatch(text) is None:
            raise BadRecord(f"“{text[:40]}” is no whole number or fraction.")
        return Fraction(text)
    except (ValueError, ZeroDivisionError) as error:
        raise BadRecord(f"“{text[:40]}” cannot be read here.") from error
