"""Fractions of units, and the only place where a need is rounded up to packs."""

from __future__ import annotations

import re
from fractions import Fraction
from math import gcd

from materials.core.errors import NotANumber, NothingInTheBox

_NUMBER = re.compile(
    r"(?P<sign>[-+\u2212]?)\s*(?:"
    r"(?P<whole>[0-9]{1,15})\s+(?P<num>[0-9]{1,9})/(?P<den>[0-9]{1,9})"
    r"|(?P<num2>[0-9]{1,15})/(?P<den2>[0-9]{1,15})"
    r"|(?P<decimal>[0-9]{1,15}(?:\.[0-9]{0,12})?|\.[0-9]{1,12})"
    r")"
)


def parse_number(text: str) -> Fraction:
    """Return the exact value of `12`, `12.5`, `1/3` or `12 1/2`.

    Raises: NotANumber for anything else: other scripts' digits, exponents,
    NaN-like words, a zero denominator, more than fifteen digits.

    >>> parse_number("12 1/2")
    Fraction(25, 2)
    """
    match = _NUMBER.fullmatch(text.strip())
    if match is None:
        raise NotANumber(
            f"“{text[:40]}” is not a number; write 12, 12.5, 1/3 or 12 1/2."
        )
    sign = -1 if match["sign"] in ("-", "\u2212") else 1
    if match["decimal"] is not None:
        value = match["decimal"]
        return sign * Fraction(value if not value.endswith(".") else value + "0")
    numerator, denominator = (
        (match["num"], match["den"])
        if match["whole"] is not None
        else (match["num2"], match["den2"])
    )
    if int(denominator) == 0:
        raise NotANumber(f"“{text[:40]}” divides by zero; check the fraction.")
    return sign * (
        int(match["whole"] or 0) + Fraction(int(numerator), int(denominator))
    )


def whole_units(need: Fraction, per_unit: Fraction) -> int:
    """Return how many sealed units cover a need.

    A shop sells bags and boxes whole, so any remainder buys one more.

    Units: `need` and `per_unit` in the same unit, whichever it is.
    Rounds: up, exactly; no tolerance is subtracted. A need below zero is zero.
    Raises: NothingInTheBox if `per_unit` is not positive.

    >>> whole_units(Fraction("0.72"), Fraction("0.24"))
    3
    """
    if per_unit <= 0:
        raise NothingInTheBox(
            f"A pack that holds {per_unit} covers nothing; enter what it holds."
        )
    if need <= 0:
        return 0
    return -(-need // per_unit)


def half_up(value: Fraction, step: Fraction = Fraction(1)) -> Fraction:
    """Return the multiple of `step` nearest to `value`.

    Rounds: halves away from zero, so that a credit mirrors its invoice.

    >>> half_up(Fraction("-2.5"))
    Fraction(-3, 1)
    """
    if step <= 0:
        raise NotANumber(f"Nothing can be rounded to steps of {step}.")
    scaled = abs(value) / step
    whole = (2 * scaled.numerator + scaled.denominator) // (2 * scaled.denominator)
    return (whole if value >= 0 else -whole) * step


def decimal_text(value: Fraction, *, places: int) -> str:
    """Return `value` as a plain decimal with at most `places` places, half up.

    Trailing zeros are dropped, so equal values print alike.

    >>> decimal_text(Fraction(1, 3), places=4)
    '0.3333'
    """
    scale = 10**places
    units = int(half_up(value * scale))
    sign = "-" if units < 0 else ""
    whole, rest = divmod(abs(units), scale)
    tail = f"{rest:0{places}d}".rstrip("0") if places else ""
    return f"{sign}{whole}.{tail}" if tail else f"{sign}{whole}"


def fixed_text(value: Fraction, *, places: int) -> str:
    """Return `value` as a decimal with exactly `places` places, half up.

    >>> fixed_text(Fraction(5, 2), places=2)
    '2.50'
    """
    scale = 10**places
    units = int(half_up(value * scale))
    sign = "-" if units < 0 else ""
    whole, rest = divmod(abs(units), scale)
    return f"{sign}{whole}.{rest:0{places}d}" if places else f"{sign}{whole}"


def share(total: int, weights: list[int]) -> list[int]:
    """Return whole parts of `total` in proportion to `weights`, adding up exactly.

    Shape: one part per weight, in order; all-zero weights share equally; no
    weights, no parts.
    Method: largest remainder, ties to the earlier part; every part is within one
    of its exact share and has the sign of the total.

    >>> share(100, [1, 1, 1])
    [34, 33, 33]
    """
    if not weights:
        return []
    if any(weight < 0 for weight in weights):
        raise NotANumber("A share below nothing cannot be given out.")
    if total < 0:
        return [-part for part in share(-total, weights)]
    basis = weights if any(weights) else [1] * len(weights)
    divisor = gcd(*basis)
    basis = [weight // divisor for weight in basis]
    whole = sum(basis)
    parts = [total * weight // whole for weight in basis]
    rest = [total * weight % whole for weight in basis]
    order = sorted(range(len(basis)), key=lambda index: (-rest[index], index))
    for index in order[: total - sum(parts)]:
        parts[index] += 1
    return parts
