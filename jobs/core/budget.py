"""The budget a job takes over from the quote its client accepted.

It is the accepted option whole, so that what was quoted can be read years later
without the quote: lines with cost and price, what the client was offered, tax, stages.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from moneyed import Money

from jobs.core.bills import Agreed
from jobs.core.invoicing import TaxKey
from materials.core.errors import Unknown
from materials.core.quantities import decimal_text
from quotes.core import frozen
from quotes.core.document import Line, OfferedLine, Option, Party, Quote

FORMAT = "gaugerod-budget-1"
"""Names the shape of a stored budget; a changed shape gets another name."""

NO_COST_OF_A_THING = frozenset({"contingency", "adjustment"})
"""Classes that are set aside, not spent; they are no budget for anything."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Budget:
    """What was agreed, taken over whole from the frozen quote."""

    quote: str
    title: str
    option: Option
    currency: str
    system: str
    tax_name: str
    tax_basis: str
    payment_days: int
    client: Party
    site: tuple[str, ...]
    terms: tuple[str, ...] = ()
    format: str = FORMAT


@dataclass(frozen=True, slots=True, kw_only=True)
class BudgetRow:
    """One line of the budget, ready to be measured against.

    Units: `quantity` is what `cost` pays for (content of whole packs, hours, or 1);
    `needed` is what the work takes of it.
    """

    key: str
    cost_class: str
    nature: str
    text: str
    material: str
    operation: str
    supplied_by: str
    quantity: Fraction
    needed: Fraction
    unit: str
    pack_count: int
    packs: tuple[tuple[str, int], ...]
    cost: Money
    price: Money
    trimmed_off: Money | None


def taken_over(quote: Quote, option_key: str = "") -> Budget:
    """Return the budget of an accepted quote, for the option that was chosen.

    Raises: Unknown if the quote offers no such option.
    """
    revision = f" {quote.revision}" if quote.revision else ""
    return Budget(
        quote=f"{quote.number}{revision}",
        title=quote.title,
        option=quote.option(option_key),
        currency=quote.currency,
        system=quote.system,
        tax_name=quote.tax_name,
        tax_basis=quote.tax_basis,
        payment_days=quote.payment_days,
        client=quote.client,
        site=quote.site,
        terms=quote.terms,
    )


def budget_rows(option: Option) -> tuple[BudgetRow, ...]:
    """Return the lines to measure against; what is only set aside is left out."""
    return tuple(
        _row(line) for line in option.lines if line.cost_class not in NO_COST_OF_A_THING
    )


def _row(line: Line) -> BudgetRow:
    content = sum((pack.content * pack.count for pack in line.packs), Fraction(0))
    hours = sum((part.hours for part in line.hours), Fraction(0))
    paid_for = content or hours or line.quantity
    if paid_for == 0 and line.cost.amount != 0:
        paid_for = Fraction(1)
    return BudgetRow(
        key=line.key,
        cost_class=line.cost_class,
        nature=line.nature,
        text=line.text,
        material=line.material,
        operation=line.operation,
        supplied_by=line.supplied_by,
        quantity=paid_for,
        needed=line.quantity,
        unit=line.unit,
        pack_count=sum(pack.count for pack in line.packs),
        packs=tuple((pack.label, pack.count) for pack in line.packs),
        cost=line.cost,
        price=line.price,
        trimmed_off=line.trimmed_off,
    )


def agreed_lines(option: Option) -> tuple[Agreed, ...]:
    """Return what the client agreed to pay for, each tax part on its own.

    Shape: in the order offered; the parts of one line share its key as `group`.
    """
    return tuple(
        Agreed(
            key=f"{line.key}/{place}",
            group=line.key,
            text=line.text,
            net=part.base,
            tax=TaxKey(category=part.category, rate=part.rate),
            detail=_detail(line),
        )
        for line in option.offered
        for place, part in enumerate(line.parts)
        if part.base.amount != 0
    )


def _detail(line: OfferedLine) -> str:
    if line.detail or not line.quantity or not line.unit:
        return line.detail
    return f"{decimal_text(line.quantity, places=2)} {line.unit}"


def to_json(budget: Budget) -> dict[str, object]:
    """Return a budget as plain JSON values."""
    return frozen.plain(budget)


def from_json(stored: Mapping[str, object]) -> Budget:
    """Return the budget of stored JSON.

    Raises: Unknown for another format; BadRecord for what is no stored budget.
    """
    if stored.get("format") != FORMAT:
        raise Unknown(
            f"A budget stored as “{stored.get('format')}” cannot be read; "
            f"this program reads {FORMAT}."
        )
    return frozen.record(Budget, stored)
