"""Credit notes: they mirror what they take off an issued invoice."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from django.db import transaction
from django.utils.translation import gettext as _
from moneyed import Money

from jobs import queries
from jobs.core.bills import KINDS, credit_bill
from jobs.core.document import as_bill
from jobs.core.invoicing import NotInvoiceable
from jobs.models import Invoice
from jobs.services.invoices import issue_credit, locked_invoice
from jobs.services.payments import settle
from materials.core import amounts
from materials.models import Person
from materials.services import once


@transaction.atomic
def credit_invoice(
    *, invoice: Invoice, reason: str, person: Person, at: datetime, key: str,
    wanted: Mapping[str, Money] | None = None,
) -> Invoice:  # fmt: skip
    """Issue a credit note for what is left of an invoice, or so much of each line.

    Locks the job, the invoice and the series of credit notes.

    Raises: NotInvoiceable for a draft, a credit note, without a reason, or for more
    than is left.
    """
    claim = once(
        key=key,
        purpose="credit invoice",
        person=person,
        payload={"invoice": invoice.pk, "wanted": _plain(wanted or {})},
    )
    if claim.outcome:
        return Invoice.objects.get(pk=claim.outcome)
    row = locked_invoice(invoice)
    if row.is_draft or row.is_credit:
        raise NotInvoiceable(_("Only an issued invoice can be credited."))
    if not reason.strip():
        raise NotInvoiceable(_("Write why it is credited."), field="reason")
    bill = credit_bill(
        as_bill(queries.issued_document(row)),
        credited=queries.credited_of(row),
        wanted=wanted,
    )
    _check_order(row)
    zero = amounts.zero(row.job.currency)
    note = Invoice(
        job=row.job,
        kind=Invoice.Kind.CREDIT,
        type_code=KINDS["credit"],
        title=_("Credit to %(number)s") % {"number": row.number},
        credits=row,
        reason=reason.strip(),
        paid=zero,
        credited=zero,
        made_by=person,
    )
    issue_credit(note, bill, person=person, at=at)
    row.credited = amounts.total([row.credited, note.due], row.job.currency)
    settle(row)
    claim.settle(note.pk)
    return note


def _plain(wanted: Mapping[str, Money]) -> dict[str, str]:
    return {line: str(amount.amount) for line, amount in wanted.items()}


def _check_order(row: Invoice) -> None:
    """Refuse to credit what a standing final account has already deducted."""
    final = queries.standing_final(row.job)
    if final is not None and final.pk != row.pk:
        raise NotInvoiceable(
            _("%(number)s has already deducted this invoice; credit that one first.")
            % {"number": final.number}
        )
