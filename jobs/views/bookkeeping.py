"""What a bookkeeper takes away: tables of sales, payments and purchases."""

from __future__ import annotations

from urllib.parse import urlencode

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponseBase
from django.shortcuts import redirect, render
from django.views.decorators.http import require_safe

from jobs.forms.bookkeeping import PeriodForm, this_year
from jobs.presenters.bookkeeping import BOOKS
from jobs.views.asking import today
from materials.core.errors import Refusal
from materials.core.limits import TABLES
from materials.core.tables import comma, workbook
from materials.services import limits
from materials.services.price_sheet import CSV, XLSX
from materials.views.access import OFFICE, OWNER, form_status, person_of, roles
from materials.views.price_sheet import table_file


@roles(OWNER, OFFICE)
@require_safe
def books(request: HttpRequest) -> HttpResponseBase:
    """Ask for the days, and hand out the tables for them."""
    form = PeriodForm(request.GET or this_year(today()))
    query = ""
    if form.is_valid():
        query = urlencode({name: form.cleaned_data[name] for name in form.fields})
    context = {"form": form, "query": query, "books": list(BOOKS)}
    return render(request, "jobs/books.html", context, status=form_status(form))


@roles(OWNER, OFFICE)
@require_safe
def books_out(request: HttpRequest, what: str, ending: str) -> HttpResponseBase:
    """Hand out one table as CSV, or one or all of them as a workbook."""
    form = PeriodForm(request.GET or this_year(today()))
    if not form.is_valid():
        return redirect("books")
    since, until = form.cleaned_data["since"], form.cleaned_data["until"]
    names = list(BOOKS) if what == "all" else [what]
    if ending not in ("csv", "xlsx") or not set(names) <= set(BOOKS):
        raise Http404
    if what == "all" and ending == "csv":
        raise Http404
    limits.take(request, TABLES)
    person = person_of(request)
    name = f"{what}-{since.isoformat()}-{until.isoformat()}.{ending}"
    try:
        tables = {one: list(BOOKS[one](person, since, until)) for one in names}
    except Refusal as refusal:
        messages.error(request, refusal.sentence)
        return redirect("books")
    if ending == "csv":
        return table_file(comma.written(tables[what]), CSV, name)
    return table_file(workbook.written(tables), XLSX, name)
