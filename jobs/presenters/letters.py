"""Letters about an invoice, as the client will read them: itself, and a reminder."""

from __future__ import annotations

from collections.abc import Mapping

from django.template.loader import render_to_string
from django.urls import reverse
from django.utils.translation import gettext as _

from jobs import queries
from jobs.models import Invoice
from jobs.presenters.invoices import issued_sheet
from jobs.services.invoices import INVOICE_PAPER
from materials.models import Business
from materials.services import Letter

INVOICE, REMINDER = "invoice", "reminder"


def invoice_letter(
    invoice: Invoice, business: Business, *, typed: Mapping[str, str], kind: str
) -> Letter:
    """Return the letter that brings an issued invoice or credit note, or reminds of it.

    `typed` holds `to` and `words`, as on the form; `kind` is INVOICE or REMINDER.

    Raises: NotInvoiceable for a draft, or a document that was changed since.
    """
    context = {
        "invoice": invoice,
        "client": invoice.job.client,
        "sheet": issued_sheet(queries.issued_document(invoice)),
        "left": queries.still_open(invoice),
        "business": business,
        **typed,
    }
    subject = render_to_string(f"email/{kind}-subject.txt", context)
    return Letter(
        recipient=typed["to"],
        subject=subject.strip(),
        body=render_to_string(f"email/{kind}-body.txt", context),
        paper=f"{INVOICE_PAPER}:{invoice.pk}",
        about=invoice.number or "",
        title=_title(invoice, kind),
        page=reverse("invoice", args=[invoice.uid]),
    )


def _title(invoice: Invoice, kind: str) -> str:
    if kind == REMINDER:
        return _("Reminder")
    return _("Credit note by mail") if invoice.is_credit else _("Invoice by mail")
