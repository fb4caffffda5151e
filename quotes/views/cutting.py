"""The cut list of a visit, on the page and on paper: no prices, for everybody."""

from __future__ import annotations

import uuid

from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_safe

from materials.core.errors import Refusal
from materials.core.limits import PAPERS
from materials.services import limits
from materials.views.access import person_of
from quotes.presenters import stages
from quotes.presenters.cut_lists import CutListSheet, cut_list_sheet
from quotes.printing import cut_list_pdf
from quotes.queries.estimating import catalogue_of, visit_record
from quotes.views.visits import visit_or_404


@require_safe
def cut_list(request: HttpRequest, uid: uuid.UUID) -> HttpResponseBase:
    """Show what is cut from what, in order, and where each piece goes."""
    visit = visit_or_404(request, uid)
    try:
        record = visit_record(visit)
        sheet = cut_list_sheet(record, catalogue_of(timezone.localdate()))
    except Refusal as refusal:
        sheet = CutListSheet(refused=refusal.sentence)
    context = {
        "title": visit.title,
        "sheet": sheet,
        "stages": stages(visit, person_of(request), "buy"),
        "back": reverse("buy", args=[visit.uid]),
        "paper": reverse("cut-list-paper", args=[visit.uid]),
    }
    return render(request, "quotes/cut_list.html", context)


@require_safe
def cut_list_paper(request: HttpRequest, uid: uuid.UUID) -> HttpResponseBase:
    """Return the cut list as PDF; back to the page where it cannot be worked out."""
    visit = visit_or_404(request, uid)
    on = timezone.localdate()
    limits.take(request, PAPERS)
    try:
        data = cut_list_pdf(
            visit_record(visit), catalogue_of(on), title=visit.title, on=on
        )
    except Refusal:
        return cut_list(request, uid)
    return pdf_answer(data, "cut-list.pdf")


def pdf_answer(data: bytes, name: str) -> HttpResponse:
    """Return PDF bytes to be shown in the browser."""
    answer = HttpResponse(data, content_type="application/pdf")
    answer["Content-Disposition"] = f'inline; filename="{name}"'
    return answer
