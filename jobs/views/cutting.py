"""The cut list of a job, from what was agreed: no prices, one tap from the job."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponseBase
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from jobs import presenters
from jobs.models import Job
from jobs.views.asking import job_or_404
from materials.core.errors import Refusal
from materials.core.limits import PAPERS
from materials.core.need import MaterialFacts
from materials.services import limits
from materials.views.access import person_of
from quotes.core.visit import Visit as VisitRecord
from quotes.presenters.cut_lists import CutListSheet, cut_list_sheet
from quotes.printing import cut_list_pdf
from quotes.queries.estimating import agreed_inputs
from quotes.views.cutting import pdf_answer


def _agreed(job: Job) -> tuple[VisitRecord, dict[str, MaterialFacts]]:
    """Return what the agreed revision was computed from, and the goods of its date.

    Raises: Refusal where nothing was measured, or what was frozen cannot be read.
    """
    revision = job.revision
    if not revision.inputs:
        raise Refusal(_("Nothing was measured for this job: its lines were typed."))
    return agreed_inputs(revision)


@require_safe
def job_cut_list(request: HttpRequest, number: str) -> HttpResponseBase:
    """Show the cut list of the revision that was accepted."""
    job = job_or_404(request, number)
    try:
        sheet = cut_list_sheet(*_agreed(job), job=job.number)
    except Refusal as refusal:
        sheet = CutListSheet(refused=refusal.sentence)
    context = {
        "title": f"{job.number} {job.title}",
        "sheet": sheet,
        "stages": presenters.stages_of(job, person_of(request), "work"),
        "back": reverse("job", args=[job.number]),
        "paper": reverse("job-cut-list-paper", args=[job.number]),
    }
    return render(request, "quotes/cut_list.html", context)


@require_safe
def job_cut_list_paper(request: HttpRequest, number: str) -> HttpResponseBase:
    """Return the job's cut list as PDF; the page where it cannot be worked out."""
    job = job_or_404(request, number)
    title = f"{job.number} {job.title}"
    limits.take(request, PAPERS)
    try:
        data = cut_list_pdf(
            *_agreed(job), title=title, on=job.revision.priced_on, job=job.number
        )
    except Refusal:
        return job_cut_list(request, number)
    return pdf_answer(data, f"cut-list-{job.number}.pdf")
