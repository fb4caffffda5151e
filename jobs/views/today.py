"""The first page after signing in: what waits today."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponseBase
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from jobs import queries as jobs_queries
from jobs.models import Job
from jobs.services.keepsake import last_verified
from materials import queries as materials_queries
from materials.views.access import business_of, person_of
from quotes import queries as quotes_queries
from quotes.presenters.offers import quote_listed

MOST = 5


@require_safe
def today(request: HttpRequest) -> HttpResponseBase:
    """Show what waits: drafts and offers, jobs, open invoices, newest visits."""
    person = person_of(request)
    if business_of(request) is None:
        if person.sees_margins:
            return redirect("business")
        return render(request, "jobs/not_set_up.html")
    on = timezone.localdate()
    states = (Job.State.BOOKED, Job.State.ON_SITE, Job.State.SNAGGING)
    context = {
        "day": on,
        "offers": [
            quote_listed(row) for row in quotes_queries.open_quotes(person)[:MOST]
        ],
        "jobs": jobs_queries.jobs_listed(person).filter(state__in=states)[:MOST],
        "open": [
            {"invoice": row, "open": jobs_queries.still_open(row)}
            for row in jobs_queries.open_invoices(person)[:MOST]
        ],
        "undecided": materials_queries.outgoing_undecided(person).count(),
        "visits": quotes_queries.visits_listed(person)[:MOST],
        "backup": last_verified() if person.sees_margins else None,
        "hello": _("Good day, %(name)s") % {"name": person},
    }
    return render(request, "jobs/today.html", context)
