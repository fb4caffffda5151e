"""What was sold, for the books: each document by tax, and never the same sum twice.

A final account lists the whole contract and deducts what earlier ones asked for; in
the books it counts for what is new in it. A credit note counts below nothing. So the
sums of a period's entries are its turnover and its tax.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from moneyed import Money

from jobs.core.document import Invoice, PrintedTax
from jobs.core.invoicing import NotInvoiceable, negative
from materials.core import amounts
from materials.core.quantities import decimal_text
from materials.core.tables.cells import Row

SALES = (
    "number", "kind", "issued_on", "due_on", "client", "job", "title", "credits",
    "deducts", "tax_category", "tax_percent", "net", "tax", "gross", "currency",
)  # fmt: skip
"""The columns of the table of sales; `deducts` names the invoice a row takes off."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One document under one tax: what it adds to turnover and to tax.

    `deducts` is the number of an earlier invoice that this row takes off again.
    """

    document: Invoice
    tax: PrintedTax
    sign: int
    deducts: str = ""

    @property
    def net(self) -> Money:
        """What it adds to turnover."""
        return _signed(self.tax.base, self.sign)

    @property
    def amount(self) -> Money:
        """What it adds to tax."""
        return _signed(self.tax.amount, self.sign)


def _signed(amount: Money, sign: int) -> Money:
    return amount if sign > 0 else negative(amount)


def entries(
    document: Invoice, deducted: Sequence[tuple[str, Invoice]] = ()
) -> tuple[Entry, ...]:
    """Return the entries of one issued document.

    `deducted` are the earlier documents a final account takes off, each with the
    number it is named by there: the invoice itself, and credit notes on it. A credit
    note on the whole of such an account gives them back.
    Raises: NotInvoiceable if they do not come to what the account says it deducts.
    """
    sign = -1 if document.kind == "credit" else 1
    own = [Entry(document=document, tax=tax, sign=sign) for tax in document.taxes]
    taken = [
        Entry(
            document=document,
            tax=tax,
            sign=sign if earlier.kind == "credit" else -sign,
            deducts=number,
        )
        for number, earlier in deducted
        for tax in earlier.taxes
    ]
    _check(document, taken, sign)
    return (*own, *taken)


def _check(document: Invoice, taken: Sequence[Entry], sign: int) -> None:
    code = document.currency
    said = (
        amounts.total((one.net for one in document.earlier), code),
        amounts.total((one.tax for one in document.earlier), code),
    )
    found = (
        _signed(amounts.total((one.net for one in taken), code), -sign),
        _signed(amounts.total((one.amount for one in taken), code), -sign),
    )
    if found != said:
        raise NotInvoiceable(
            f"{document.number} deducts {amounts.plain(said[0])} and "
            f"{amounts.plain(said[1])} of tax, and the earlier invoices come to "
            f"{amounts.plain(found[0])} and {amounts.plain(found[1])}; "
            "verify the books."
        )


def sale_row(entry: Entry) -> Row:
    """Return one entry as a row of the table of sales."""
    document, tax = entry.document, entry.tax
    gross = amounts.total([entry.net, entry.amount], document.currency)
    return [
        document.number, document.kind, document.issued_on, document.due_on,
        document.buyer.name, document.references.job, document.title,
        document.references.credits, entry.deducts, tax.category, percent(tax.rate),
        entry.net.amount, entry.amount.amount, gross.amount, document.currency,
    ]  # fmt: skip


def percent(rate: Fraction) -> Decimal:
    """Return a rate as its percentage, with no more decimals than it has."""
    return Decimal(decimal_text(rate * 100, places=4))
