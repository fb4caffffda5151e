"""Columns for exact values: whole numbers in the database, value types in Python.

LengthField (ticks), AreaField (square ticks), RateField and QuantityField
(millionths), HoursField (thousandths of an hour) and MoneyField (1/10,000 of the
currency unit, beside a column of currency codes). Every one is a 64-bit integer on
both databases, so sums, comparisons and CHECK constraints are exact and equal.

The classes build on `models.Field` and not on BigIntegerField or DecimalField: those
bring validators that compare a value type with an int, and arithmetic in SQL
(`F("a") + 1`) that would read raw units as whole ones. Here `F("a") + F("b")` of two
like columns works, and mixed arithmetic is refused: do it in Python.
"""

from __future__ import annotations

from materials.fields.exact import (
    AreaField,
    HoursField,
    LengthField,
    QuantityField,
    RateField,
)
from materials.fields.money import MoneyField, amount_check, price_check

__all__ = [
    "AreaField",
    "HoursField",
    "LengthField",
    "MoneyField",
    "QuantityField",
    "RateField",
    "amount_check",
    "price_check",
]
