"""Invoices: drafted from the contract, issued once, never changed after."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from fractions import Fraction

from django.db import transaction
from django.utils.translation import gettext as _

from jobs import queries
from jobs.core import document as documents
from jobs.core.bills import KINDS, Bill, final_bill, part_bill, share_bill
from jobs.core.invoicing import NotInvoiceable
from jobs.models import Invoice, InvoiceLine, Job, Variation
from jobs.services.numbers import take_number
from materials.core import amounts
from materials.core.quantities import decimal_text
from materials.fields import QuantityField
from materials.models import Business, Person, StoredFile
from materials.services import audit, once, owe_paper
from materials.services.keeping import keep_bytes
from materials.services.pricelist import saved
from quotes.core.document import Party
from quotes.models import Client

PROGRAM_VERSION = "gaugerod 0.1"
INVOICE_PAPER = "invoice"
"""How the outbox names the paper of an invoice or a credit note."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DraftEntry:
    """What to ask for: a share of the sum, a variation, or the final account."""

    kind: str
    share: Fraction | None = None
    title: str = ""
    variation: Variation | None = None


@transaction.atomic
def draft_invoice(*, job: Job, entry: DraftEntry, person: Person, key: str) -> Invoice:
    """Draw up a draft: a share of the contract, a variation, or the final account.

    Raises: NotInvoiceable where the core refuses, or a final account stands already.
    """
    kind = entry.kind
    claim = once(
        key=key,
        purpose="draft invoice",
        person=person,
        payload={
            "job": job.pk,
            "kind": kind,
            "share": str(entry.share),
            "title": entry.title,
            "variation": entry.variation.pk if entry.variation else None,
        },
    )
    if claim.outcome:
        return Invoice.objects.get(pk=claim.outcome)
    if kind not in KINDS or kind == Invoice.Kind.CREDIT:
        raise NotInvoiceable(_("Choose a deposit, a stage, a variation or the final."))
    zero = amounts.zero(job.currency)
    row = Invoice(
        job=job,
        kind=kind,
        type_code=KINDS[kind],
        title=entry.title.strip() or _usual_title(entry),
        share=entry.share,
        variation=entry.variation,
        paid=zero,
        credited=zero,
        made_by=person,
    )
    _fill(row, _bill_of(row))
    claim.settle(row.pk)
    return row


def _usual_title(entry: DraftEntry) -> str:
    if entry.variation is not None:
        return f"{entry.variation.number} {entry.variation.text}"[:200]
    label = str(Invoice.Kind(entry.kind).label).capitalize()
    if entry.share is None:
        return label
    share = decimal_text(entry.share * 100, places=2)
    return f"{label}, " + _("%(share)s\u00a0%%") % {"share": share}


def _bill_of(invoice: Invoice) -> Bill:
    job = invoice.job
    if queries.standing_final(job) is not None:
        raise NotInvoiceable(
            _("The final account of this job is out; credit it to invoice again.")
        )
    contract, earlier = queries.contract_of(job), queries.earlier_of(job)
    if invoice.kind == Invoice.Kind.FINAL:
        return final_bill(contract, earlier=earlier)
    if invoice.kind == Invoice.Kind.VARIATION:
        variation = invoice.variation
        if variation is None or variation.state != Variation.State.AGREED:
            raise NotInvoiceable(_("Choose a change that the client has agreed to."))
        if variation.net.amount <= 0:
            raise NotInvoiceable(
                _("A change that takes off is settled with the final account.")
            )
        keys = [line.key for line in queries.variation_lines(variation)]
        return part_bill(contract, keys=keys, earlier=earlier)
    if invoice.share is None:
        raise NotInvoiceable(_("Enter the share of the sum to ask for."), field="share")
    return share_bill(
        contract,
        kind=invoice.kind,
        share=invoice.share,
        text=invoice.title,
        earlier=earlier,
    )


def _fill(row: Invoice, bill: Bill) -> None:
    """Write a bill's sums and lines into a draft."""
    sums = bill.totals
    row.net, row.tax, row.gross = sums.net, sums.tax, sums.gross
    row.prepaid, row.due = sums.prepaid, sums.due
    saved(row)
    row.lines.all().delete()
    groups, details = _groups(row.job)
    InvoiceLine.objects.bulk_create(
        InvoiceLine(
            invoice=row,
            position=place,
            key=line.key,
            group=groups.get(line.key, line.key),
            text=line.text[:300],
            detail=details.get(line.key, "")[:300],
            quantity=QuantityField.nearest(line.quantity),
            unit=line.unit,
            price=line.price,
            category=line.tax.category,
            rate=line.tax.rate,
        )
        for place, line in enumerate(bill.lines)
    )


def _groups(job: Job) -> tuple[dict[str, str], dict[str, str]]:
    agreed = queries.contract_of(job).agreed
    return (
        {item.key: item.group for item in agreed},
        {item.key: item.detail for item in agreed},
    )


def _locked(invoice: Invoice) -> Invoice:
    """Return the invoice again under its job's lock: bills of a job take turns."""
    Job.objects.select_for_update().get(pk=invoice.job_id)
    return (
        Invoice.objects.select_for_update(of=("self",))
        .select_related("job__client", "job__revision__quote", "variation")
        .get(pk=invoice.pk)
    )


@transaction.atomic
def refresh_draft(*, invoice: Invoice) -> Invoice:
    """Work a draft out again from what is agreed and invoiced by now.

    Raises: NotInvoiceable for an issued invoice.
    """
    row = _locked(invoice)
    _only_draft(row)
    _fill(row, _bill_of(row))
    return row


@transaction.atomic
def discard_draft(*, invoice: Invoice, person: Person) -> None:
    """Throw a draft away; it never had a number.

    Raises: NotInvoiceable for an issued invoice.
    """
    row = _locked(invoice)
    _only_draft(row)
    audit(
        action="discard draft invoice",
        subject=row.job.number,
        person=person,
        facts={"title": row.title, "due": str(row.due.amount)},
    )
    row.delete()


def _only_draft(row: Invoice) -> None:
    if not row.is_draft:
        raise NotInvoiceable(
            _("%(number)s is issued and stays as it is; write a credit note instead.")
            % {"number": row.number}
        )


@transaction.atomic
def issue_invoice(
    *, invoice: Invoice, person: Person, at: datetime, key: str
) -> Invoice:
    """Issue a draft: number, date and document, in one transaction; for good.

    Locks the job, the invoice and the series row. Issued twice it is issued once.

    Raises: NotInvoiceable if what is agreed or invoiced has changed since the draft
    was drawn up; its sums must be looked at again first.
    """
    claim = once(
        key=key, purpose="issue invoice", person=person, payload={"pk": invoice.pk}
    )
    row = _locked(invoice)
    if claim.outcome or not row.is_draft:
        claim.settle(row.pk)
        return row
    bill = _bill_of(row)
    if bill.totals.due != row.due or bill.totals.gross != row.gross:
        raise NotInvoiceable(
            _("Something was agreed or invoiced since; work this draft out again.")
        )
    _issue(row, bill, person=person, at=at, kind="invoice")
    row.lines.all().delete()
    claim.settle(row.pk)
    return row


def _issue(
    row: Invoice, bill: Bill, *, person: Person, at: datetime, kind: str
) -> None:
    """Give a row its number, date, document and state; takes the series' lock."""
    number, dated = take_number(kind=kind, on=queries.local_date(at))
    budget = queries.budget_of(row.job)
    row.number, row.issued_on, row.issued_at = str(number), dated, at
    row.due_on = dated + timedelta(days=budget.payment_days)
    row.issued_by = person
    groups, details = _groups(row.job)
    stored = documents.drawn_up(bill, _heading(row), groups=groups, details=details)
    row.document, row.digest = documents.to_json(stored), documents.digest(stored)
    is_done = row.is_credit or row.due.amount == 0
    row.state = Invoice.State.SETTLED if is_done else Invoice.State.ISSUED
    saved(row)
    audit(
        action=f"issue {row.kind}",
        subject=row.number,
        person=person,
        facts={"job": row.job.number, "due": str(row.due.amount), "digest": row.digest},
        seals=[row],
    )
    owe_paper(
        paper=f"{INVOICE_PAPER}:{row.pk}",
        about=row.number,
        title=_("Paper of the invoice"),
        person=person,
    )


def _heading(row: Invoice) -> documents.Heading:
    budget = queries.budget_of(row.job)
    business = Business.objects.get(pk=1)
    credited = row.credits
    if row.number is None or row.issued_on is None or row.due_on is None:
        raise RuntimeError("A heading needs number and dates.")
    return documents.Heading(
        number=row.number,
        title=row.title,
        issued_on=row.issued_on,
        due_on=row.due_on,
        seller=_letterhead(business),
        buyer=_buyer(row.job.client),
        site=budget.site,
        references=documents.References(
            job=row.job.number,
            quote=budget.quote,
            credits=(credited.number or "") if credited is not None else "",
            credits_issued_on=credited.issued_on if credited is not None else None,
            reason=row.reason,
        ),
        tax_name=budget.tax_name,
        tax_basis=budget.tax_basis,
        terms=budget.terms,
        program_version=PROGRAM_VERSION,
    )


def _letterhead(business: Business) -> documents.Letterhead:
    lines = [business.trade_line, *business.address.splitlines()]
    return documents.Letterhead(
        name=business.name,
        lines=tuple(
            line.strip()
            for line in (*lines, business.phone, business.email)
            if line.strip()
        ),
        licence=business.licence_line,
        tax_number=business.tax_number,
        bank_lines=tuple(
            line for line in business.bank_lines.splitlines() if line.strip()
        ),
        country=business.country,
    )


def _buyer(client: Client) -> Party:
    lines = [*client.address.splitlines()]
    if client.tax_number:
        lines.append(client.tax_number)
    return Party(name=client.name, lines=tuple(line for line in lines if line.strip()))


def issue_credit(row: Invoice, bill: Bill, *, person: Person, at: datetime) -> Invoice:
    """Fill and issue a credit note that was just drawn up, inside its transaction."""
    if not transaction.get_connection().in_atomic_block:
        raise RuntimeError("A credit note is issued in the transaction that draws it.")
    sums = bill.totals
    row.net, row.tax, row.gross = sums.net, sums.tax, sums.gross
    row.prepaid, row.due = sums.prepaid, sums.due
    _issue(row, bill, person=person, at=at, kind="credit")
    return row


def locked_invoice(invoice: Invoice) -> Invoice:
    """Return an invoice under its job's lock; only inside a transaction."""
    return _locked(invoice)


@transaction.atomic
def keep_pdf(*, invoice: Invoice, data: bytes, person: Person | None) -> StoredFile:
    """Store the PDF of an issued invoice; the first one stays.

    Raises: NotInvoiceable for a draft.
    """
    row = Invoice.objects.select_for_update(of=("self",)).get(pk=invoice.pk)
    if row.is_draft:
        raise NotInvoiceable(_("This invoice is still a draft; issue it first."))
    if row.pdf is not None:
        return row.pdf
    row.pdf = keep_bytes(
        data=data,
        media_type="application/pdf",
        name=f"{row.number}.pdf",
        person=person,
    )
    row.save(update_fields=["pdf"])
    audit(
        action="keep paper",
        subject=row.number or "",
        person=person,
        kind="person" if person is not None else "program",
        facts={"paper": row.pdf.digest},
    )
    return row.pdf
