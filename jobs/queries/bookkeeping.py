"""What came in and went out between two days, for the bookkeeper."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from datetime import date

from django.db.models import QuerySet

from jobs.core.bookkeeping import Entry, entries
from jobs.models import GoodsReturn, Invoice, Payment, PurchaseLine
from jobs.queries.invoices import invoices_seen_by, issued_document
from materials.models import Person


def _issued(person: Person) -> QuerySet[Invoice]:
    # The documents are what is asked for here.
    seen = invoices_seen_by(person).select_related(None).select_related("credits")
    seen = seen.defer(None).defer("credits__document")
    return seen.exclude(state=Invoice.State.DRAFT)


def sales_between(person: Person, since: date, until: date) -> Iterator[Entry]:
    """Return the entries of all documents issued on days from one to another.

    Three queries, whatever the number of documents.
    Raises: NotInvoiceable if a stored document was changed, or does not add up.
    """
    rows = list(
        _issued(person)
        .filter(issued_on__gte=since, issued_on__lte=until)
        .order_by("issued_on", "number")
    )
    documents = {row.pk: issued_document(row) for row in rows}
    named = {one.number for found in documents.values() for one in found.earlier}
    earlier = {row.number: row for row in _issued(person).filter(number__in=named)}
    notes: dict[int | None, list[Invoice]] = defaultdict(list)
    for note in _issued(person).filter(credits__number__in=named).order_by("pk"):
        notes[note.credits_id].append(note)
    for row in rows:
        # A credit note takes back what its account deducted on the day of that.
        account = row.credits or row
        deducted = []
        for one in documents[row.pk].earlier:
            first = earlier[one.number]
            before = [note for note in notes[first.pk] if _is_before(note, account)]
            deducted += [(one.number, issued_document(it)) for it in (first, *before)]
        yield from entries(documents[row.pk], deducted)


def _is_before(note: Invoice, account: Invoice) -> bool:
    """Return whether a note was out when an account was made; later ones it ignored."""
    if note.issued_at is None or account.issued_at is None:
        return False
    return (note.issued_at, note.pk) <= (account.issued_at, account.pk)


def payments_between(person: Person, since: date, until: date) -> QuerySet[Payment]:
    """Return payments and refunds on days from one to another, oldest first."""
    return (
        Payment.objects.filter(
            invoice__in=invoices_seen_by(person).values("pk"),
            paid_on__gte=since,
            paid_on__lte=until,
        )
        .select_related("invoice__job__client")
        .defer("invoice__document", "invoice__job__budget")
        .order_by("paid_on", "pk")
    )


def purchases_between(
    person: Person, since: date, until: date
) -> QuerySet[PurchaseLine]:
    """Return what was bought on days from one to another, oldest first."""
    if not person.is_active or not person.sees_prices:
        return PurchaseLine.objects.none()
    return (
        PurchaseLine.objects.filter(
            purchase__bought_on__gte=since, purchase__bought_on__lte=until
        )
        .select_related("purchase__supplier", "purchase__job")
        .defer("purchase__job__budget")
        .order_by("purchase__bought_on", "pk")
    )


def returns_between(person: Person, since: date, until: date) -> QuerySet[GoodsReturn]:
    """Return what went back to merchants on days from one to another."""
    if not person.is_active or not person.sees_prices:
        return GoodsReturn.objects.none()
    return (
        GoodsReturn.objects.filter(returned_on__gte=since, returned_on__lte=until)
        .select_related("line__purchase__supplier", "line__purchase__job")
        .defer("line__purchase__job__budget")
        .order_by("returned_on", "pk")
    )
