"""Lists of invoices: a page of all, what is open, and the statement of a day."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from uuid import UUID

from django.core.paginator import Page
from django.db.models import QuerySet
from moneyed import Money

from jobs.core.statement import Aged, OpenItem, aged
from jobs.models import Invoice
from jobs.queries.invoices import invoices_seen_by, still_open
from materials.core import amounts
from materials.models import Person
from materials.queries.paging import page_of

PAGE = 20


@dataclass(frozen=True, slots=True, kw_only=True)
class InvoiceFacts:
    """An invoice as lists need it; `open` is below nothing where too much came."""

    uid: UUID
    number: str | None
    title: str
    kind: str
    state: str
    issued_on: date | None
    due_on: date | None
    due: Money
    open: Money
    job: str
    client: str


FACTS = (
    "uid", "number", "title", "kind", "state", "issued_on", "due_on", "due_currency",
    "job__number", "job__client__name", "due", "paid", "credited",
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Statement:
    """What is open on a day: the invoices, and their sums by age and currency."""

    invoices: tuple[InvoiceFacts, ...]
    ages: tuple[tuple[str, Aged], ...]


def facts_of(invoice: Invoice) -> InvoiceFacts:
    """Return an invoice that was fetched as lists need it."""
    return InvoiceFacts(
        uid=invoice.uid,
        number=invoice.number,
        title=invoice.title,
        kind=invoice.kind,
        state=invoice.state,
        issued_on=invoice.issued_on,
        due_on=invoice.due_on,
        due=invoice.due,
        open=still_open(invoice),
        job=invoice.job.number,
        client=invoice.job.client.name,
    )


def invoice_page(*, person: Person, state: str, number: str) -> Page[InvoiceFacts]:
    """Return one page of invoices, newest first: two queries, whatever the size."""
    rows = _rows_seen_by(person).order_by("-pk")
    if state == "open":
        rows = rows.filter(pk__in=_still_open().values("pk"))
    elif state in Invoice.State.values:
        rows = rows.filter(state=state)
    return page_of(rows, PAGE, number, _facts)


def _rows_seen_by(person: Person) -> QuerySet[Invoice]:
    """Return the invoices a person may see listed, with nothing joined to them."""
    return invoices_seen_by(person).select_related(None).defer(None)


def _still_open() -> QuerySet[Invoice]:
    """Return the open invoices: those with a day, which both databases look up."""
    return Invoice.objects.filter(open_due_on__gte=date.min)


def _facts(rows: QuerySet[Invoice]) -> list[InvoiceFacts]:
    """Return invoices as lists need them: one query, no model made of any."""
    found = []
    for *plain, code, job, client, due, paid, credited in rows.values_list(*FACTS):
        uid, number, title, kind, state, issued_on, due_on = plain
        units = amounts.units_of(due)
        left = units - amounts.units_of(paid) - amounts.units_of(credited)
        found.append(
            InvoiceFacts(
                uid=uid,
                number=number,
                title=title,
                kind=kind,
                state=state,
                issued_on=issued_on,
                due_on=due_on,
                due=amounts.from_units(units, code),
                open=amounts.from_units(left, code),
                job=job,
                client=client,
            )
        )
    return found


def open_invoices(person: Person, *, most: int | None = None) -> list[InvoiceFacts]:
    """Return the issued invoices that are not even, oldest due first: one query.

    Money still to come, or to go back because too much came.
    """
    rows = _rows_seen_by(person).filter(open_due_on__gte=date.min)
    return _facts(rows.order_by("open_due_on", "pk")[:most])


def statement_on(person: Person, *, on: date) -> Statement:
    """Return what is open on a day: one query."""
    rows = tuple(open_invoices(person))
    by_currency: dict[str, list[OpenItem]] = {}
    for row in rows:
        by_currency.setdefault(row.due.currency.code, []).append(
            OpenItem(
                number=row.number or "",
                client=row.client,
                due_on=row.due_on or on,
                open=row.open,
            )
        )
    return Statement(
        invoices=rows,
        ages=tuple(
            (code, aged(items, on=on, currency=code))
            for code, items in sorted(by_currency.items())
        ),
    )
