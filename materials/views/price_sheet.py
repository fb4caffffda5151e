"""The price list as a table: handed out, taken in, and shown before it is taken."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods, require_safe

from materials import presenters, queries, services
from materials.core.errors import Refusal
from materials.core.limits import TABLES, UPLOADS
from materials.core.tables import comma, workbook
from materials.core.tables.price_columns import COLUMNS
from materials.core.tables.price_table import price_table
from materials.forms.price_sheet import SheetForm
from materials.models import StoredFile
from materials.services import limits
from materials.services.price_sheet import CSV, SHEETS, XLSX
from materials.views.access import (
    OFFICE,
    OWNER,
    form_status,
    person_of,
    request_key,
    roles,
    show_refusal,
)


@roles(OWNER, OFFICE)
@require_safe
def price_table_out(request: HttpRequest, form: str) -> HttpResponseBase:
    """Hand out the price list as CSV or XLSX: what holds today and is to come."""
    if form not in ("csv", "xlsx"):
        raise Http404
    limits.take(request, TABLES)
    today = timezone.localdate()
    rows = price_table(queries.stored_price_list(), today)
    name = f"price-list-{today.isoformat()}.{form}"
    if form == "csv":
        return table_file(comma.written(rows), CSV, name)
    return table_file(workbook.written({"Price list": rows}), XLSX, name)


def table_file(data: bytes, media_type: str, name: str) -> HttpResponse:
    """Return a table as a download."""
    return HttpResponse(
        data,
        content_type=f"{media_type}; charset=utf-8"
        if media_type == CSV
        else media_type,
        headers={"Content-Disposition": f'attachment; filename="{name}"'},
    )


@roles(OWNER, OFFICE)
@require_http_methods(["GET", "HEAD", "POST"])
def price_sheet(request: HttpRequest) -> HttpResponseBase:
    """Say how a table is made, and take one in to be looked at."""
    form = SheetForm(request.POST or None, request.FILES or None)
    if request.method == "POST" and form.is_valid():
        limits.take(request, UPLOADS)
        try:
            sheet = services.keep_sheet(
                upload=form.cleaned_data["sheet"],
                person=person_of(request),
                key=request_key(request),
            )
        except Refusal as refusal:
            show_refusal(form, refusal)
        else:
            return redirect("judged-sheet", digest=sheet.digest)
    context = {"form": form, "columns": COLUMNS}
    return render(
        request, "materials/price_sheet.html", context, status=form_status(form)
    )


@roles(OWNER, OFFICE)
@require_http_methods(["GET", "HEAD", "POST"])
def judged_sheet(request: HttpRequest, digest: str) -> HttpResponseBase:
    """Show what a table would change; take it, all that is not left out or nothing."""
    sheet = StoredFile.objects.filter(digest=digest, media_type__in=SHEETS).first()
    business = queries.business()
    if sheet is None or business is None:
        raise Http404
    refused = ""
    if request.method == "POST":
        try:
            taken = services.take_sheet(
                sheet=sheet,
                shown=request.POST.get("shown", ""),
                person=person_of(request),
                key=request_key(request),
            )
        except Refusal as refusal:
            refused = refusal.sentence
        else:
            done = ngettext("%(n)s row is taken.", "%(n)s rows are taken.", taken)
            messages.success(
                request,
                done % {"n": taken} + " " + _("Quotes already offered keep theirs."),
            )
            return redirect("price-list")
    outcomes = services.judge_sheet(sheet)
    context = {
        "sheet": sheet,
        "shown": presenters.sheet_shown(outcomes, business.currency),
        "digest": services.digest_of_outcomes(outcomes),
        "refused": refused,
    }
    return render(
        request,
        "materials/judged_sheet.html",
        context,
        status=422 if refused else 200,
    )
