"""Invoices on paper: HTML by template, PDF by the engine, from the frozen document."""

from __future__ import annotations

from django.template.loader import render_to_string
from django.utils.translation import gettext as _

from jobs import presenters, queries, services
from jobs.core.invoicing import NotInvoiceable
from jobs.models import Invoice
from jobs.services.invoices import INVOICE_PAPER
from materials.models import Business, Person, StoredFile
from materials.printing import NO_SHEET, pdf_of
from materials.printing.papers import makes


def invoice_pdf(invoice: Invoice) -> bytes:
    """Return the PDF of an issued invoice or credit note.

    Raises: NotInvoiceable for a draft, or a document that was changed since.
    """
    stored = queries.issued_document(invoice)
    business = Business.objects.filter(pk=1).first()
    budget = queries.budget_of(invoice.job)
    html = render_to_string(
        "print/invoice.html",
        {
            "sheet": presenters.issued_sheet(stored, digest=invoice.digest),
            "business": business,
            "paper": business.paper if business is not None else "a4",
            "system": budget.system,
            "style_sheet": NO_SHEET,
        },
    )
    return pdf_of(html)


def kept_invoice_pdf(invoice: Invoice, person: Person | None) -> StoredFile:
    """Return the paper of an issued invoice, made once and kept.

    Raises: NotInvoiceable for a draft, or a document that was changed since.
    """
    if invoice.pdf is not None:
        return invoice.pdf
    return services.keep_pdf(invoice=invoice, data=invoice_pdf(invoice), person=person)


@makes(INVOICE_PAPER)
def invoice_paper(pk: int) -> StoredFile:
    """Return the kept paper of an issued invoice, made now if it is not yet.

    Raises: NotInvoiceable for a draft, one that is gone, or one changed since.
    """
    row = Invoice.objects.select_related("job", "pdf").filter(pk=pk).first()
    if row is None:
        raise NotInvoiceable(_("That invoice is not there any more."))
    return kept_invoice_pdf(row, None)
