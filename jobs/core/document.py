"""The frozen invoice: exactly what was issued, in the words and figures of the day.

An `Invoice` is stored whole when it is issued and never recomputed. A credit note is
an `Invoice` of type 381: its amounts carry the signs of what it mirrors, and are to
be taken off.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from moneyed import Money

from jobs.core.bills import KINDS, Bill, Earlier
from jobs.core.invoicing import Line, TaxKey, TaxRow, Totals
from materials.core.errors import Unknown
from quotes.core import frozen
from quotes.core.document import Party, canonical

FORMAT = "gaugerod-invoice-1"
"""Names the shape of a stored invoice; a changed shape gets another name."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Letterhead:
    """Who asks: name, lines under it, licence, tax number, how to pay."""

    name: str
    lines: tuple[str, ...] = ()
    licence: str = ""
    tax_number: str = ""
    bank_lines: tuple[str, ...] = ()
    country: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintedLine:
    """One line as issued; `group` joins the tax parts of one agreed line."""

    key: str
    group: str
    text: str
    quantity: Fraction
    unit: str
    price: Money
    category: str
    rate: Fraction
    net: Money
    detail: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintedTax:
    """The tax of one category and rate, as issued."""

    category: str
    rate: Fraction
    base: Money
    amount: Money


@dataclass(frozen=True, slots=True, kw_only=True)
class References:
    """What the document belongs to: job, quote, the invoice it credits and why."""

    job: str
    quote: str = ""
    credits: str = ""
    credits_issued_on: date | None = None
    reason: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sums:
    """The sums as issued."""

    net: Money
    tax: Money
    gross: Money
    prepaid: Money
    rounding: Money
    due: Money


@dataclass(frozen=True, slots=True, kw_only=True)
class Invoice:
    """All that was issued."""

    number: str
    kind: str
    type_code: str
    title: str
    issued_on: date
    due_on: date
    currency: str
    seller: Letterhead
    buyer: Party
    site: tuple[str, ...]
    references: References
    lines: tuple[PrintedLine, ...]
    taxes: tuple[PrintedTax, ...]
    sums: Sums
    earlier: tuple[Earlier, ...] = ()
    tax_name: str = ""
    tax_basis: str = "document"
    terms: tuple[str, ...] = ()
    rounding: str = "half_up"
    program_version: str = ""
    format: str = FORMAT


@dataclass(frozen=True, slots=True, kw_only=True)
class Heading:
    """Everything of a document that is not arithmetic."""

    number: str
    title: str
    issued_on: date
    due_on: date
    seller: Letterhead
    buyer: Party
    site: tuple[str, ...]
    references: References
    tax_name: str
    tax_basis: str
    terms: tuple[str, ...] = ()
    program_version: str = ""


def drawn_up(
    bill: Bill,
    heading: Heading,
    *,
    groups: Mapping[str, str],
    details: Mapping[str, str],
) -> Invoice:
    """Return the document of a bill under its heading.

    `groups` and `details` say, by line key, which agreed line it belongs to and what
    stands under it; a line without a group is its own.
    """
    sums = bill.totals
    return Invoice(
        number=heading.number,
        kind=bill.kind,
        type_code=KINDS[bill.kind],
        title=heading.title,
        issued_on=heading.issued_on,
        due_on=heading.due_on,
        currency=sums.net.currency.code,
        seller=heading.seller,
        buyer=heading.buyer,
        site=heading.site,
        references=heading.references,
        lines=tuple(
            _printed(line, group=groups.get(line.key, line.key),
                     detail=details.get(line.key, ""))
            for line in bill.lines
        ),
        taxes=tuple(
            PrintedTax(category=row.tax.category, rate=row.tax.rate, base=row.base,
                       amount=row.amount)
            for row in sums.rows
        ),
        sums=Sums(net=sums.net, tax=sums.tax, gross=sums.gross, prepaid=sums.prepaid,
                  rounding=sums.rounding, due=sums.due),
        earlier=bill.earlier,
        tax_name=heading.tax_name,
        tax_basis=heading.tax_basis,
        terms=heading.terms,
        program_version=heading.program_version,
    )  # fmt: skip


def _printed(line: Line, *, group: str, detail: str) -> PrintedLine:
    return PrintedLine(
        key=line.key,
        group=group,
        text=line.text,
        quantity=line.quantity,
        unit=line.unit,
        price=line.price,
        category=line.tax.category,
        rate=line.tax.rate,
        net=line.net,
        detail=detail,
    )


def as_bill(invoice: Invoice) -> Bill:
    """Return the bill behind a document, to be mirrored by a credit note.

    Its lines are lump sums of the issued nets, so nothing is worked out again.
    """
    zero = Money(0, invoice.currency)
    return Bill(
        kind=invoice.kind,
        lines=tuple(
            Line(
                key=line.key,
                text=line.text,
                quantity=line.quantity,
                unit=line.unit,
                price=line.price,
                tax=TaxKey(category=line.category, rate=line.rate),
            )
            for line in invoice.lines
        ),
        totals=Totals(
            lines=invoice.sums.net,
            allowances=zero,
            charges=zero,
            net=invoice.sums.net,
            rows=tuple(
                TaxRow(
                    tax=TaxKey(category=row.category, rate=row.rate),
                    base=row.base,
                    amount=row.amount,
                )
                for row in invoice.taxes
            ),
            tax=invoice.sums.tax,
            gross=invoice.sums.gross,
            prepaid=invoice.sums.prepaid,
            rounding=invoice.sums.rounding,
            due=invoice.sums.due,
        ),
        earlier=invoice.earlier,
    )


def to_json(invoice: Invoice) -> dict[str, object]:
    """Return an invoice as plain JSON values; money, fractions and dates as text."""
    return frozen.plain(invoice)


def from_json(stored: Mapping[str, object]) -> Invoice:
    """Return the invoice of stored JSON, equal to the one that was stored.

    Raises: Unknown for another format; BadRecord for what is no stored invoice.
    """
    if stored.get("format") != FORMAT:
        raise Unknown(
            f"An invoice stored as “{stored.get('format')}” cannot be read; "
            f"this program reads {FORMAT}."
        )
    return frozen.record(Invoice, stored)


def digest(invoice: Invoice) -> str:
    """Return the SHA-256, in hexadecimal, of the invoice's canonical JSON."""
    return hashlib.sha256(canonical(to_json(invoice))).hexdigest()
