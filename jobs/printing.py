"""Invoices on paper: HTML by template, PDF by the engine, from the frozen document."""

from __future__ import annotations

from django.template.loader import render_to_string

from jobs import presenters, queries
from jobs.models import Invoice
from materials.models import Business
from materials.printing import NO_SHEET, pdf_of


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
    return pdf_of(html, title=f"{stored.number} {stored.title}")
