"""Invoices: of a job and in all, draft, issue, paper, payment, credit."""

from __future__ import annotations

import uuid
from datetime import date
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import (
    require_http_methods,
    require_POST,
    require_safe,
)
from moneyed import Money

from jobs import presenters, queries, services
from jobs.core.invoicing import NotInvoiceable
from jobs.forms.invoicing import CreditForm, PaymentForm
from jobs.models import Invoice
from jobs.printing import kept_invoice_pdf
from jobs.services.invoices import INVOICE_PAPER
from jobs.views.asking import invoice_or_404, today, told, tried
from materials.core.errors import Refusal
from materials.core.limits import PAPERS
from materials.models import StoredFile
from materials.queries import mails_about
from materials.services import limits
from materials.services.keeping import file_bytes
from materials.views.access import OFFICE, OWNER, person_of, request_key, roles


@roles(OWNER, OFFICE)
@require_safe
def invoices(request: HttpRequest) -> HttpResponseBase:
    """Show invoices, newest first."""
    person, on = person_of(request), today()
    state = request.GET.get("state", "")
    page = queries.invoice_page(
        person=person, state=state, number=request.GET.get("page", "1")
    )
    context = {
        "page": page,
        "rows": [presenters.invoice_listed(row, on=on) for row in page],
        "state": state,
        "states": [("open", _("open")), *Invoice.State.choices],
        "query": f"state={state}&" if state else "",
    }
    return render(request, "jobs/invoices.html", context)


@roles(OWNER, OFFICE)
@require_safe
def statement(request: HttpRequest) -> HttpResponseBase:
    """Show what is open, and for how long."""
    on = today()
    found = queries.statement_on(person_of(request), on=on)
    sheet = presenters.statement_sheet(found, on=on)
    return render(request, "jobs/statement.html", {"sheet": sheet, "today": on})


@roles(OWNER, OFFICE)
@require_safe
def invoice(request: HttpRequest, uid: uuid.UUID) -> HttpResponseBase:
    """Show an invoice as it is, or a draft as it will be."""
    row = invoice_or_404(request, uid)
    try:
        return _invoice_page(request, row)
    except NotInvoiceable as refusal:
        messages.error(request, refusal.sentence)
        return redirect("invoices")


def _invoice_page(
    request: HttpRequest, row: Invoice, form: PaymentForm | None = None
) -> HttpResponseBase:
    person, on = person_of(request), today()
    left = queries.still_open(row)
    context: dict[str, Any] = {
        "invoice": row,
        "sheet": _sheet(row),
        "listed": presenters.invoice_listed(queries.facts_of(row), on=on),
        "payments": row.payments.select_related("made_by"),
        "notes": row.credit_notes.order_by("pk"),
        "letters": mails_about(person, paper=f"{INVOICE_PAPER}:{row.pk}"),
        "form": form or PaymentForm(initial=_first_payment(left, on)),
        "stages": presenters.stages_of(row.job, person, "invoice"),
    }
    status = 422 if form is not None else 200
    return render(request, "jobs/invoice.html", context, status=status)


def _first_payment(left: Money, on: date) -> dict[str, Any]:
    return {"on": on, "amount": left if left.amount > 0 else None}


def _sheet(row: Invoice) -> presenters.InvoiceSheet:
    if not row.is_draft:
        return presenters.issued_sheet(queries.issued_document(row), digest=row.digest)
    earlier = queries.earlier_of(row.job) if row.kind == Invoice.Kind.FINAL else ()
    return presenters.draft_sheet(
        row,
        tax_name=queries.budget_of(row.job).tax_name,
        earlier=earlier,
    )


@roles(OWNER, OFFICE)
@require_POST
def issue(request: HttpRequest, uid: uuid.UUID) -> HttpResponseBase:
    """Issue a draft for good, and make its paper."""
    row, person = invoice_or_404(request, uid), person_of(request)
    done = told(
        request,
        lambda: services.issue_invoice(
            invoice=row, person=person, at=timezone.now(), key=request_key(request)
        ),
        _("The invoice is issued."),
    )
    if done:
        row.refresh_from_db()
        _try_pdf(row, request)
    return redirect("invoice", uid=row.uid)


def _try_pdf(row: Invoice, request: HttpRequest) -> StoredFile | None:
    """Return the paper; where it cannot be made, say why and return None."""
    try:
        return kept_invoice_pdf(row, person_of(request))
    except Refusal as refusal:
        messages.error(request, refusal.sentence)
        return None


@roles(OWNER, OFFICE)
@require_safe
def invoice_paper(request: HttpRequest, uid: uuid.UUID) -> HttpResponseBase:
    """Hand out the paper of an issued invoice."""
    row = invoice_or_404(request, uid)
    if row.pdf_id is None:
        limits.take(request, PAPERS)
    stored = _try_pdf(row, request)
    if stored is None:
        return redirect("invoice", uid=row.uid)
    response = HttpResponse(file_bytes(stored), content_type="application/pdf")
    response.headers["Content-Disposition"] = f'inline; filename="{row.number}.pdf"'
    return response


@roles(OWNER, OFFICE)
@require_POST
def refresh(request: HttpRequest, uid: uuid.UUID) -> HttpResponseBase:
    """Work a draft out again."""
    row = invoice_or_404(request, uid)
    told(
        request,
        lambda: services.refresh_draft(invoice=row),
        _("Worked out again; look at the sums."),
    )
    return redirect("invoice", uid=row.uid)


@roles(OWNER, OFFICE)
@require_POST
def discard(request: HttpRequest, uid: uuid.UUID) -> HttpResponseBase:
    """Throw a draft away."""
    row, number = invoice_or_404(request, uid), ""
    number = row.job.number
    done = told(
        request,
        lambda: services.discard_draft(invoice=row, person=person_of(request)),
        _("The draft is thrown away."),
    )
    if not done:
        return redirect("invoice", uid=row.uid)
    return redirect("job-invoices", number=number)


@roles(OWNER, OFFICE)
@require_POST
def pay(request: HttpRequest, uid: uuid.UUID) -> HttpResponseBase:
    """Record a payment, a part of one, or money paid back."""
    row = invoice_or_404(request, uid)
    form = PaymentForm(request.POST, left=queries.still_open(row))

    def act() -> object:
        return services.record_payment(
            invoice=row,
            entry=form.entry(),
            person=person_of(request),
            key=request_key(request),
        )

    if form.is_valid() and tried(form, act) is not None:
        messages.success(request, _("The payment is recorded."))
        return redirect("invoice", uid=row.uid)
    return _invoice_page(request, row, form)


@roles(OWNER, OFFICE)
@require_http_methods(["GET", "HEAD", "POST"])
def credit(request: HttpRequest, uid: uuid.UUID) -> HttpResponseBase:
    """Write a credit note for all or a part of an invoice."""
    row = invoice_or_404(request, uid)
    if row.is_draft or row.is_credit:
        return redirect("invoice", uid=row.uid)
    stored, credited = queries.issued_document(row), queries.credited_of(row)
    rows = presenters.credit_rows(stored, credited)
    form = CreditForm(request.POST or None, rows=rows)

    def act() -> Invoice:
        return services.credit_invoice(
            invoice=row,
            reason=form.cleaned_data["reason"],
            wanted=form.wanted(),
            person=person_of(request),
            at=timezone.now(),
            key=request_key(request),
        )

    if request.method == "POST" and form.is_valid():
        note = tried(form, act)
        if note is not None:
            messages.success(request, _("The credit note is issued."))
            return redirect("invoice", uid=note.uid)
    context = {"invoice": row, "form": form, "rows": rows}
    status = 422 if form.errors else 200
    return render(request, "jobs/credit.html", context, status=status)
