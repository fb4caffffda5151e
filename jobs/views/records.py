"""Recording what the work took: purchases, returns, use, offcuts, hours."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponseBase, QueryDict
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from jobs import presenters, queries, services
from jobs.forms.actuals import (
    DayForm,
    HoursForm,
    PurchaseForm,
    PurchaseLineForm,
    ReturnForm,
    UseForm,
    line_forms,
)
from jobs.forms.offcuts import OffcutForm, RackForm
from jobs.models import Job, Purchase
from jobs.views.asking import job_or_404, today, told, tried
from materials.core.errors import Refusal
from materials.core.limits import UPLOADS
from materials.models import Business, Person, StoredFile
from materials.services import keep_file, limits
from materials.views.access import person_of, request_key, show_refusal


def _page(
    request: HttpRequest, job: Job, *, title: str, form: forms.Form, **more: Any
) -> HttpResponseBase:
    asked = (form, *more.get("rows", ()))
    faults = sum(len(one.errors) for one in asked if one.is_bound)
    context = {"job": job, "title": title, "form": form, "faults": faults, **more}
    status = 422 if faults or more.get("refused") else 200
    return render(request, "jobs/record.html", context, status=status)


def _begun(rows: list[Any]) -> list[Any] | None:
    """Return the lines that were entered, or None if one of them is wrong."""
    if not all(row.is_valid() for row in rows):
        return None
    return [row for row in rows if row.is_begun()]


def _keep_photo(
    request: HttpRequest, data: QueryDict, *, person: Person
) -> Refusal | None:
    """Store a photo that came with a form, whatever becomes of the rest of it."""
    upload = request.FILES.get("photo")
    if upload is None:
        return None
    limits.take(request, UPLOADS)
    try:
        data["kept"] = keep_file(upload=upload, person=person).digest
    except Refusal as refusal:
        return refusal
    return None


@require_http_methods(["GET", "HEAD", "POST"])
def record_purchase(request: HttpRequest, number: str) -> HttpResponseBase:
    """Record a receipt or an order, with its photo and up to four lines."""
    job, person = job_or_404(request, number), person_of(request)
    business = Business.objects.get(pk=1)
    first = {
        "bought_on": today(),
        "here": True,
        "tax_rate": business.purchase_tax,
        "tax_recoverable": business.purchase_tax_recoverable,
    }
    data = request.POST.copy() if request.method == "POST" else None
    refused = _keep_photo(request, data, person=person) if data is not None else None
    form = PurchaseForm(data, request.FILES or None, initial=first)
    if refused is not None:
        show_refusal(form, refused)
    rows = line_forms(PurchaseLineForm, job=job, data=data)
    begun = _begun(rows) if data else None
    if form.is_valid() and begun is not None:

        def act() -> Purchase:
            photo = StoredFile.objects.filter(digest=form.cleaned_data["kept"]).first()
            entry = form.entry(tuple(row.entry() for row in begun), photo)
            return services.record_purchase(
                job=job, entry=entry, person=person, key=request_key(request)
            )

        if tried(form, act) is not None:
            messages.success(request, _("The purchase is recorded."))
            return redirect("job", number=job.number)
    title = _("Record a purchase")
    return _page(request, job, title=title, form=form, rows=rows,
                 refused=bool(data))  # fmt: skip


@require_POST
def receive_purchase(request: HttpRequest, number: str, pk: int) -> HttpResponseBase:
    """Note that an order has arrived today."""
    job = job_or_404(request, number)
    purchase = get_object_or_404(Purchase, job=job, pk=pk)
    told(
        request,
        lambda: services.receive_purchase(
            purchase=purchase, on=today(), person=person_of(request)
        ),
        _("The goods are here."),
    )
    return redirect("job", number=job.number)


def _recorded(
    request: HttpRequest,
    job: Job,
    *,
    form: forms.Form,
    title: str,
    act: Callable[[], object],
    **more: Any,
) -> HttpResponseBase:
    """Show a form, or do what it asks and go back to the job."""
    if request.method == "POST" and form.is_valid() and tried(form, act) is not None:
        messages.success(request, _("Recorded."))
        return redirect("job", number=job.number)
    return _page(request, job, title=title, form=form, **more)


@require_http_methods(["GET", "HEAD", "POST"])
def record_return(request: HttpRequest, number: str) -> HttpResponseBase:
    """Record packs taken back to the merchant."""
    job = job_or_404(request, number)
    form = ReturnForm(request.POST or None, job=job, initial={"on": today()})

    def act() -> object:
        data = form.cleaned_data
        return services.record_return(
            line=data["line"],
            packs=data["packs"],
            credit=data["credit"],
            on=data["on"],
            person=person_of(request),
            key=request_key(request),
        )

    return _recorded(request, job, form=form, title=_("Record a return"), act=act)


@require_http_methods(["GET", "HEAD", "POST"])
def record_use(request: HttpRequest, number: str) -> HttpResponseBase:
    """Record what was used, broken or left over."""
    job = job_or_404(request, number)
    first = {"on": today(), "line": request.GET.get("line")}
    form = UseForm(request.POST or None, job=job, initial=first)

    def act() -> object:
        return services.record_use(
            line=form.cleaned_data["line"],
            entry=form.entry(),
            person=person_of(request),
            key=request_key(request),
        )

    return _recorded(request, job, form=form, title=_("Record use"), act=act)


@require_http_methods(["GET", "HEAD", "POST"])
def keep_offcut(request: HttpRequest, number: str) -> HttpResponseBase:
    """Put a piece on the rack."""
    job = job_or_404(request, number)
    system = queries.budget_of(job).system
    first = {name: request.GET.get(name, "") for name in ("line", "width", "height")}
    form = OffcutForm(
        request.POST or None,
        job=job,
        system=system,
        person=person_of(request),
        initial={**first, "on": today()},
    )

    def act() -> object:
        return services.keep_offcut(
            line=form.cleaned_data["line"],
            entry=form.entry(),
            on=form.cleaned_data["on"],
            person=person_of(request),
            key=request_key(request),
        )

    left = presenters.left_rows(job, system) if request.method != "POST" else ()
    return _recorded(
        request, job, form=form, title=_("Keep an offcut"), act=act, left=left
    )


@require_http_methods(["GET", "HEAD", "POST"])
def use_offcut(request: HttpRequest, number: str) -> HttpResponseBase:
    """Take a piece from the rack."""
    job = job_or_404(request, number)
    form = RackForm(
        request.POST or None,
        job=job,
        system=queries.budget_of(job).system,
        initial={"on": today(), "offcut": request.GET.get("piece")},
    )

    def act() -> object:
        return services.use_offcut(
            job=job,
            offcut=form.cleaned_data["offcut"],
            on=form.cleaned_data["on"],
            person=person_of(request),
            key=request_key(request),
        )

    return _recorded(request, job, form=form, title=_("Take from the rack"), act=act)


@require_http_methods(["GET", "HEAD", "POST"])
def record_day(request: HttpRequest, number: str) -> HttpResponseBase:
    """Record the hours of one person on one day."""
    job, person = job_or_404(request, number), person_of(request)
    data = request.POST or None
    form = DayForm(data, person=person, initial={"on": today()})
    rows = line_forms(HoursForm, job=job, data=data)
    begun = _begun(rows) if data else None
    if form.is_valid() and begun is not None:

        def act() -> object:
            return services.record_day(
                job=job,
                worker=form.cleaned_data["worker"],
                on=form.day(),
                lines=[row.entry() for row in begun],
                person=person,
                key=request_key(request),
            )

        if tried(form, act) is not None:
            messages.success(request, _("The day sheet is recorded."))
            return redirect("job", number=job.number)
    title = _("Day sheet")
    return _page(request, job, title=title, form=form, rows=rows,
                 refused=bool(data))  # fmt: skip
