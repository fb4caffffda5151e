"""The cut list of a visit, on the page and on paper: no prices, for everybody."""

from __future__ import annotations

import uuid
from datetime import date

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from materials.core.errors import Refusal
from materials.core.limits import PAPERS
from materials.core.need import MaterialFacts
from materials.services import limits
from materials.views.access import person_of
from quotes import services
from quotes.core.visit import Visit as VisitRecord
from quotes.models import Visit
from quotes.presenters import stages
from quotes.presenters.cut_lists import CutListSheet, cut_list_sheet
from quotes.presenters.searches import search_note
from quotes.printing import cut_list_pdf
from quotes.queries.estimating import catalogue_of, visit_record, with_kept_plans
from quotes.views.visits import visit_or_404

ASKED_ON = ("buy", "cut-list", "price")
"""The pages a longer search is asked for on."""


@require_safe
def cut_list(request: HttpRequest, uid: uuid.UUID) -> HttpResponseBase:
    """Show what is cut from what, in order, and where each piece goes."""
    visit = visit_or_404(request, uid)
    try:
        sheet = cut_list_sheet(*_inputs(visit, timezone.localdate()))
    except Refusal as refusal:
        sheet = CutListSheet(refused=refusal.sentence)
    context = {
        "title": visit.title,
        "sheet": sheet,
        "visit": visit,
        "search": search_note(sheet.boards),
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
        data = cut_list_pdf(*_inputs(visit, on), title=visit.title, on=on)
    except Refusal:
        return cut_list(request, uid)
    return pdf_answer(data, "cut-list.pdf")


@require_POST
def look_deeper(request: HttpRequest, uid: uuid.UUID) -> HttpResponseBase:
    """Ask for a longer search of the board plans; back to the page it was asked on."""
    visit = visit_or_404(request, uid)
    try:
        services.look_deeper(
            visit=visit,
            on=timezone.localdate(),
            person=person_of(request),
            at=timezone.now(),
        )
    except Refusal as refusal:
        messages.error(request, refusal.sentence)
    asked_on = request.POST.get("page", "")
    return redirect(asked_on if asked_on in ASKED_ON else "buy", uid=visit.uid)


def _inputs(visit: Visit, on: date) -> tuple[VisitRecord, dict[str, MaterialFacts]]:
    """Return a visit and the goods of a day, with the plans that searches found.

    Raises: Refusal as the takeoff does.
    """
    record = visit_record(visit)
    return record, with_kept_plans(record, catalogue_of(on, record, visit))


def pdf_answer(data: bytes, name: str) -> HttpResponse:
    """Return PDF bytes to be shown in the browser."""
    answer = HttpResponse(data, content_type="application/pdf")
    answer["Content-Disposition"] = f'inline; filename="{name}"'
    return answer
