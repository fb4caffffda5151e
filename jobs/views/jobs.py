"""Jobs: the list, the work, the cost, and how a quote becomes one."""

from __future__ import annotations

import hashlib

from django.contrib.auth.decorators import login_not_required
from django.db import transaction
from django.http import Http404, HttpRequest, HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from jobs import presenters, queries, services
from jobs.models import BudgetLine, Job
from jobs.views.asking import job_or_404, today, told
from materials.core.errors import Refusal
from materials.models import Person
from materials.views.access import OFFICE, OWNER, person_of, roles
from quotes import queries as quote_queries
from quotes import services as quote_services
from quotes.core import document
from quotes.models import OfferLink, Revision
from quotes.services.offers import Agreement
from quotes.views.client import link_or_404, offer_page


@require_safe
def jobs(request: HttpRequest) -> HttpResponseBase:
    """Show jobs, newest first; money only to those who may see it."""
    state = request.GET.get("state", "")
    page = queries.job_page(
        person=person_of(request), state=state, number=request.GET.get("page", "1")
    )
    context = {
        "page": page,
        "state": state,
        "states": Job.State.choices,
        "query": f"state={state}&" if state in Job.State.values else "",
    }
    return render(request, "jobs/jobs.html", context)


@require_safe
def job(request: HttpRequest, number: str) -> HttpResponseBase:
    """Show the work of a job: what to buy, what was used, whose hours. No prices."""
    row, person = job_or_404(request, number), person_of(request)
    cost = queries.cost_of(row)
    budget = queries.budget_of(row)
    system = budget.system
    context = {
        "job": row,
        "budget": budget,
        "sheet": presenters.work_sheet(cost, system),
        "purchases": queries.purchases_of(row),
        "usages": presenters.use_rows(queries.usages_of(row)[:20], system),
        "days": presenters.day_rows(row),
        "moves": presenters.move_rows(row, system),
        "counted_on": presenters.counted_on(row, system),
        "states": [(state, Job.State(state).label) for state in steps_from(row)],
        "stages": presenters.stages_of(row, person, "work"),
    }
    return render(request, "jobs/job.html", context)


def steps_from(row: Job) -> list[str]:
    """Return the states a job can move to: on, and one step back."""
    order = [state.value for state in Job.State]
    at = order.index(row.state)
    if row.state == Job.State.CLOSED:
        return []
    onward = order[at + 1 : at + 2]
    return [*onward, *order[max(0, at - 1) : at]]


@roles(OWNER, OFFICE)
@require_safe
def job_cost(request: HttpRequest, number: str) -> HttpResponseBase:
    """Show quoted against actual; wages and margin only to the owner."""
    row, person = job_or_404(request, number), person_of(request)
    cost = queries.cost_of(row)
    price = queries.contract_of(row).totals.net
    context = {
        "job": row,
        "sheet": presenters.cost_sheet(row, cost, person, price=price),
        "today": today(),
        "stages": presenters.stages_of(row, person, "cost"),
    }
    return render(request, "jobs/cost.html", context)


@roles(OWNER, Person.Role.SETTER)
@require_POST
def move_job(request: HttpRequest, number: str) -> HttpResponseBase:
    """Move a job on, or one step back; only the owner closes it."""
    row, person = job_or_404(request, number), person_of(request)
    state = request.POST.get("state", "")
    if state == Job.State.CLOSED and person.role != OWNER:
        raise Http404
    told(
        request,
        lambda: services.change_state(
            job=row, state=state, person=person, at=timezone.now()
        ),
        _("The job has moved on."),
    )
    return redirect("job", number=row.number)


@require_POST
def finish_line(request: HttpRequest, number: str, pk: int) -> HttpResponseBase:
    """Say that nothing more will come on a line, or that more may."""
    row = job_or_404(request, number)
    line = get_object_or_404(BudgetLine, job=row, pk=pk)
    finished = request.POST.get("finished") == "1"
    told(
        request,
        lambda: services.mark_finished(
            line=line, finished=finished, person=person_of(request)
        ),
        _("Noted."),
    )
    return redirect("job", number=row.number)


@require_safe
def job_of_quote(request: HttpRequest, number: str) -> HttpResponseBase:
    """Lead from a quote to its job, its cost or its invoices."""
    person = person_of(request)
    row = queries.jobs_seen_by(person).filter(revision__quote__number=number).first()
    if row is None:
        raise Http404
    doors = {"cost": "job-cost", "invoice": "job-invoices"}
    door = doors.get(request.GET.get("to", ""), "job")
    return redirect(door if person.sees_prices else "job", number=row.number)


def _key(revision: Revision) -> str:
    """Return the one key under which a revision can become a job."""
    text = f"accept {revision.pk} {revision.digest}"
    return hashlib.sha256(text.encode()).hexdigest()[:48]


def _option(request: HttpRequest, revision: Revision) -> str:
    """Return the key of the option that is agreed to; where there is one, that one.

    Raises: Unknown if the quote does not offer it.
    """
    shown = document.from_json(revision.document)
    return shown.option(request.POST.get("option", "")[:40]).key


def _accept(request: HttpRequest, revision: Revision, *, link: OfferLink | None) -> Job:
    """Keep the client's yes and make the job, both or neither.

    Raises: Refusal, with nothing kept.
    """
    person = None if link is not None else person_of(request)
    agreement = Agreement(
        way="link" if link is not None else "on_site",
        typed_name=request.POST.get("typed_name", "")[:160],
        digest=request.POST.get("digest", ""),
        link=link,
        options=(_option(request, revision),),
        drawn_mark=request.POST.get("drawn_mark", "")[:20_000],
        circumstances={"agent": request.headers.get("User-Agent", "")[:200]},
    )
    now = timezone.now()
    with transaction.atomic():
        quote_services.accept_revision(
            revision=revision,
            agreement=agreement,
            at=now,
            today=queries.local_date(now),
            person=person,
        )
        return services.make_job(
            revision=revision, person=person, at=now, key=_key(revision)
        )


@login_not_required
@require_POST
def accept_offer(request: HttpRequest, token: str) -> HttpResponseBase:
    """Take the client's yes on the private page; one job, however often it is sent."""
    link = link_or_404(request, token)
    if request.POST.get("agree") != "1":
        sentence = _("Tick that you accept the quote with its terms.")
        return offer_page(request, link, token, refused=sentence)
    try:
        _accept(request, link.revision, link=link)
    except Refusal as refusal:
        return offer_page(request, link, token, refused=refusal.sentence)
    return redirect("offer", token=token)


@roles(OWNER)
@require_POST
def accept_here(request: HttpRequest, number: str) -> HttpResponseBase:
    """Take the client's yes on the setter's own screen."""
    person = person_of(request)
    quote = quote_queries.quote_for(person, number)
    if quote is None:
        raise Http404
    revision = quote.revisions.order_by("-pk").first()
    if revision is None:
        raise Http404
    if not told(
        request,
        lambda: _accept(request, revision, link=None),
        _("Accepted; the job is booked."),
    ):
        return redirect("quote", number=number)
    return redirect("job-of-quote", number=number)
