"""What a job asks for: its invoices, new drafts, variations."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import (
    require_http_methods,
    require_POST,
    require_safe,
)

from jobs import presenters, queries, services
from jobs.forms.invoicing import AgreeForm, ShareForm, VariationForm
from jobs.models import Invoice, Variation
from jobs.services import DraftEntry
from jobs.views.asking import job_or_404, today, told, tried
from materials.core.errors import Refusal
from materials.views.access import (
    OFFICE,
    OWNER,
    form_status,
    person_of,
    request_key,
    roles,
)


@roles(OWNER, OFFICE)
@require_safe
def job_invoices(request: HttpRequest, number: str) -> HttpResponseBase:
    """Show what was agreed on a job, what was asked for, and what is left to ask."""
    row, person = job_or_404(request, number), person_of(request)
    contract = queries.contract_of(row).totals
    asked, left = queries.asked_of(row)
    bills = list(queries.invoices_of(row))
    context = {
        "job": row,
        "contract": contract,
        "asked": asked,
        "left": left,
        "rows": [
            presenters.invoice_listed(queries.facts_of(bill), on=today())
            for bill in bills
        ],
        "stages_offered": presenters.stages_offered(
            queries.budget_of(row).option.stages,
            {bill.title: bill.number or str(_("a draft")) for bill in bills},
        ),
        "has_deposit": any(bill.kind == Invoice.Kind.DEPOSIT for bill in bills),
        "variations": row.variations.order_by("pk"),
        "agree": AgreeForm(initial={"agreed_by": row.client.name}),
        "stages": presenters.stages_of(row, person, "invoice"),
    }
    return render(request, "jobs/job_invoices.html", context)


@roles(OWNER, OFFICE)
@require_http_methods(["GET", "HEAD", "POST"])
def ask_share(request: HttpRequest, number: str, kind: str) -> HttpResponseBase:
    """Draw up a deposit or a stage invoice for a share of the sum."""
    row = job_or_404(request, number)
    if kind not in (Invoice.Kind.DEPOSIT, Invoice.Kind.STAGE):
        raise Http404
    share = request.GET.get("share", "")[:20]
    first = {"share": share, "title": request.GET.get("title", "")[:200]}
    form = ShareForm(request.POST or None, initial=first)

    def act() -> Invoice:
        return services.draft_invoice(
            job=row,
            entry=form.entry(kind),
            person=person_of(request),
            key=request_key(request),
        )

    if request.method == "POST" and form.is_valid():
        invoice = tried(form, act)
        if invoice is not None:
            return redirect("invoice", uid=invoice.uid)
    word = str(Invoice.Kind(kind).label)
    context = {
        "job": row,
        "form": form,
        "title": _("New invoice: %(kind)s") % {"kind": word},
        "back": "job-invoices",
    }
    return render(request, "jobs/record.html", context, status=form_status(form))


@roles(OWNER, OFFICE)
@require_POST
def ask_rest(request: HttpRequest, number: str) -> HttpResponseBase:
    """Draw up the final account, or the invoice of an agreed variation."""
    row = job_or_404(request, number)
    found = request.POST.get("variation", "")
    entry = DraftEntry(kind=Invoice.Kind.FINAL)
    if found:
        variation = get_object_or_404(Variation, job=row, number=found)
        entry = DraftEntry(kind=Invoice.Kind.VARIATION, variation=variation)
    try:
        invoice = services.draft_invoice(
            job=row, entry=entry, person=person_of(request), key=request_key(request)
        )
    except Refusal as refusal:
        messages.error(request, refusal.sentence)
        return redirect("job-invoices", number=row.number)
    return redirect("invoice", uid=invoice.uid)


@roles(OWNER)
@require_http_methods(["GET", "HEAD", "POST"])
def add_variation(request: HttpRequest, number: str) -> HttpResponseBase:
    """Write a change down, to be agreed by the client."""
    row = job_or_404(request, number)
    taxes = [tax.tax for tax in queries.contract_of(row).totals.rows]
    form = VariationForm(request.POST or None, taxes=taxes)

    def act() -> Variation:
        return services.propose_variation(
            job=row,
            entry=form.entry(),
            person=person_of(request),
            at=timezone.now(),
            key=request_key(request),
        )

    if request.method == "POST" and form.is_valid() and tried(form, act) is not None:
        messages.success(request, _("Written down; it counts once it is agreed."))
        return redirect("job-invoices", number=row.number)
    context = {
        "job": row,
        "form": form,
        "title": _("A change"),
        "back": "job-invoices",
    }
    return render(request, "jobs/record.html", context, status=form_status(form))


@roles(OWNER)
@require_POST
def settle_variation(request: HttpRequest, number: str, which: str) -> HttpResponseBase:
    """Note that the client agreed to a change, or does not want it."""
    row, person = job_or_404(request, number), person_of(request)
    variation = get_object_or_404(Variation, job=row, number=which)
    if request.POST.get("decline"):
        told(
            request,
            lambda: services.decline_variation(variation=variation, person=person),
            _("Declined."),
        )
    else:
        told(
            request,
            lambda: services.agree_variation(
                variation=variation,
                agreed_by=request.POST.get("agreed_by", ""),
                person=person,
                at=timezone.now(),
            ),
            _("Agreed; it counts now."),
        )
    return redirect("job-invoices", number=row.number)
