"""The tables a bookkeeper takes: sales by tax, payments, purchases."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from datetime import date

from jobs import queries
from jobs.core.bookkeeping import SALES, percent, sale_row
from jobs.core.invoicing import negative
from jobs.models import GoodsReturn, Payment, PurchaseLine
from materials.core.tables.cells import Row
from materials.models import Person

PAYMENTS = (
    "paid_on", "amount", "currency", "way", "reference", "invoice", "client", "job",
)  # fmt: skip
PURCHASES = (
    "bought_on", "merchant", "reference", "job", "text", "packs", "price_each", "net",
    "tax_percent", "tax_not_recovered", "currency",
)  # fmt: skip


def sales_table(person: Person, since: date, until: date) -> Iterable[Row]:
    """Return sales: a row for each document and tax, sums as they count."""
    yield list(SALES)
    for entry in queries.sales_between(person, since, until):
        yield sale_row(entry)


def payments_table(person: Person, since: date, until: date) -> Iterable[Row]:
    """Return payments; what went back is below nothing."""
    yield list(PAYMENTS)
    for payment in queries.payments_between(person, since, until):
        yield _payment(payment)


def _payment(payment: Payment) -> Row:
    invoice = payment.invoice
    return [
        payment.paid_on, payment.amount.amount, payment.amount.currency.code,
        payment.way, payment.reference, invoice.number, invoice.job.client.name,
        invoice.job.number,
    ]  # fmt: skip


def purchases_table(person: Person, since: date, until: date) -> Iterable[Row]:
    """Return purchases by line, then what went back, below nothing."""
    yield list(PURCHASES)
    for line in queries.purchases_between(person, since, until):
        yield _purchase(line)
    for back in queries.returns_between(person, since, until):
        yield _return(back)


def _purchase(line: PurchaseLine) -> Row:
    purchase = line.purchase
    return [
        purchase.bought_on, purchase.supplier.name if purchase.supplier else "",
        purchase.reference, purchase.job.number, line.text, line.packs,
        line.price_each.amount, line.net.amount, percent(purchase.tax_rate),
        line.tax_cost.amount, line.net.currency.code,
    ]  # fmt: skip


def _return(back: GoodsReturn) -> Row:
    purchase = back.line.purchase
    return [
        back.returned_on, purchase.supplier.name if purchase.supplier else "",
        purchase.reference, purchase.job.number, back.line.text, -back.packs, None,
        negative(back.credit).amount, percent(purchase.tax_rate), None,
        back.credit.currency.code,
    ]  # fmt: skip


BOOKS: Mapping[str, Callable[[Person, date, date], Iterable[Row]]] = {
    "sales": sales_table,
    "payments": payments_table,
    "purchases": purchases_table,
}
