"""Reads of invoices: what was agreed, asked for, credited, and is still open."""

from __future__ import annotations

import hashlib

from django.db.models import QuerySet
from moneyed import Money

from jobs.core import document as documents
from jobs.core.bills import Agreed, Contract, Credited, Earlier
from jobs.core.budget import agreed_lines
from jobs.core.invoicing import NotInvoiceable, TaxKey, negative
from jobs.models import Invoice, Job, Variation
from jobs.queries.jobs import budget_of
from materials.core import amounts
from materials.models import Person
from quotes.core import frozen
from quotes.core.document import canonical


def invoices_seen_by(person: Person) -> QuerySet[Invoice]:
    """Return the invoices a person may open: money is not for setters."""
    if not person.is_active or not person.sees_prices:
        return Invoice.objects.none()
    return Invoice.objects.select_related("job__client", "credits").defer(
        "document", "job__budget"
    )


def invoice_for(person: Person, uid: str) -> Invoice | None:
    """Return an invoice the person may open, or None: foreign and missing are alike."""
    return invoices_seen_by(person).filter(uid=uid).first()


def invoices_of(job: Job) -> QuerySet[Invoice]:
    """Return a job's invoices, oldest first."""
    return job.invoices.select_related("credits").defer("document").order_by("pk")


def still_open(invoice: Invoice) -> Money:
    """Return what is still to come on an issued invoice; below nothing is overpaid."""
    code = invoice.due.currency.code
    parts = [invoice.due, negative(invoice.paid), negative(invoice.credited)]
    return amounts.total(parts, code)


def contract_of(job: Job) -> Contract:
    """Return all that was agreed on a job: the quote and agreed variations."""
    budget = budget_of(job)
    changes = job.variations.filter(state=Variation.State.AGREED).order_by("pk")
    varied = tuple(
        agreed for variation in changes for agreed in variation_lines(variation)
    )
    return Contract(
        agreed=(*agreed_lines(budget.option), *varied),
        currency=job.currency,
        basis=budget.tax_basis,
    )


def variation_lines(variation: Variation) -> tuple[Agreed, ...]:
    """Return a variation's lines as they stand in the contract."""
    return tuple(frozen.record(Agreed, line) for line in variation.lines)


def issued_of(job: Job) -> QuerySet[Invoice]:
    """Return a job's issued invoices, without credit notes, oldest first."""
    return (
        job.invoices.exclude(state=Invoice.State.DRAFT)
        .exclude(kind=Invoice.Kind.CREDIT)
        .order_by("issued_on", "pk")
    )


def standing_final(job: Job) -> Invoice | None:
    """Return the final account that stands: issued and not wholly credited."""
    rows = issued_of(job).filter(kind=Invoice.Kind.FINAL)
    return next((row for row in rows if not is_wholly_credited(row)), None)


def is_wholly_credited(invoice: Invoice) -> bool:
    """Whether credit notes took off every line of an invoice."""
    notes = list(invoice.credit_notes.exclude(state=Invoice.State.DRAFT))
    net = amounts.total((note.net for note in notes), invoice.net.currency.code)
    return bool(notes) and net == invoice.net


def earlier_of(job: Job) -> tuple[Earlier, ...]:
    """Return what earlier bills ask for, credits taken off: to be deducted at last.

    A final account that was wholly credited is as if it had never been.
    """
    code = job.currency
    found = []
    rows = issued_of(job).exclude(kind=Invoice.Kind.FINAL)
    for row in rows.prefetch_related("credit_notes"):
        notes = [note for note in row.credit_notes.all() if not note.is_draft]
        net = _less(row.net, [note.net for note in notes], code)
        tax = _less(row.tax, [note.tax for note in notes], code)
        gross = _less(row.gross, [note.gross for note in notes], code)
        if net.amount or tax.amount:
            found.append(
                Earlier(
                    number=row.number or "",
                    text=row.title,
                    net=net,
                    tax=tax,
                    gross=gross,
                    issued_on=row.issued_on,
                )
            )
    return tuple(found)


def asked_of(job: Job) -> tuple[Money, Money]:
    """Return what was asked for on a job, with tax, and what is left to ask for.

    A final account that stands asks for all of it.
    """
    whole = contract_of(job).totals.gross
    if standing_final(job) is not None:
        return whole, amounts.zero(job.currency)
    asked = amounts.total((item.gross for item in earlier_of(job)), job.currency)
    return asked, _less(whole, [asked], job.currency)


def _less(amount: Money, taken: list[Money], code: str) -> Money:
    return amounts.total([amount, *(negative(part) for part in taken)], code)


def credited_of(invoice: Invoice) -> Credited:
    """Return what credit notes took off an invoice: one query."""
    code = invoice.net.currency.code
    nets: dict[str, list[Money]] = {}
    taxes: dict[TaxKey, list[Money]] = {}
    dues = []
    for note in invoice.credit_notes.exclude(state=Invoice.State.DRAFT):
        stored = issued_document(note)
        for line in stored.lines:
            nets.setdefault(line.key, []).append(line.net)
        for row in stored.taxes:
            key = TaxKey(category=row.category, rate=row.rate)
            taxes.setdefault(key, []).append(row.amount)
        dues.append(stored.sums.due)
    return Credited(
        nets={key: amounts.total(parts, code) for key, parts in nets.items()},
        taxes={key: amounts.total(parts, code) for key, parts in taxes.items()},
        due=amounts.total(dues, code),
    )


def issued_document(invoice: Invoice) -> documents.Invoice:
    """Return what was issued, after checking that nobody changed it since.

    Raises: NotInvoiceable for a draft, or if the stored document does not match its
    digest.
    """
    if invoice.is_draft:
        raise NotInvoiceable("This invoice is still a draft; issue it first.")
    found = hashlib.sha256(canonical(invoice.document)).hexdigest()
    if found != invoice.digest:
        raise NotInvoiceable(
            f"The stored document of {invoice.number} does not match its digest; "
            "restore it from a backup."
        )
    return documents.from_json(invoice.document)
