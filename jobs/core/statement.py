"""What is still open, and for how long."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from moneyed import Money

from materials.core import amounts

AGES = ((0, "not_due"), (30, "to_30"), (60, "to_60"), (90, "to_90"))
"""The last day overdue of each column but the last."""

OLDEST = "over_90"


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenItem:
    """One invoice and what is still open on it."""

    number: str
    client: str
    due_on: date
    open: Money


@dataclass(frozen=True, slots=True, kw_only=True)
class Aged:
    """The sums open by age, and in all."""

    columns: tuple[tuple[str, Money], ...]
    total: Money


def days_overdue(due_on: date, on: date) -> int:
    """Return how many days a date has passed; nothing before and on the day.

    Units: calendar days.
    """
    return max(0, (on - due_on).days)


def age_of(due_on: date, on: date) -> str:
    """Return the column an open item belongs to.

    >>> age_of(date(2026, 5, 1), date(2026, 6, 1))
    'to_60'
    """
    late = days_overdue(due_on, on)
    return next((name for last, name in AGES if late <= last), OLDEST)


def aged(items: Sequence[OpenItem], *, on: date, currency: str) -> Aged:
    """Return what is open by age.

    Shape: every column in order of age, also the empty ones.
    Raises: MixedCurrencies if the items are in several currencies.
    """
    names = [*(name for _, name in AGES), OLDEST]
    return Aged(
        columns=tuple(
            (
                name,
                amounts.total(
                    (item.open for item in items if age_of(item.due_on, on) == name),
                    currency,
                ),
            )
            for name in names
        ),
        total=amounts.total((item.open for item in items), currency),
    )
