"""The first page after signing in: what waits today."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponseBase
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from jobs import queries as jobs_queries
from jobs.services.keepsake import last_verified
from materials import queries as materials_queries
from materials.views.access import business_of, person_of
from quotes import queries as quotes_queries

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
    context = {
        "day": on,
        "offers": quotes_queries.open_offers(person, most=MOST),
        "jobs": jobs_queries.jobs_ahead(person, most=MOST),
        "open": jobs_queries.open_invoices(person, most=MOST),
        "undecided": materials_queries.outgoing_undecided(person).count(),
        "visits": quotes_queries.newest_visits(person, most=MOST),
        "backup": last_verified() if person.sees_margins else None,
        "hello": _("Good day, %(name)s") % {"name": person},
    }
    return render(request, "jobs/today.html", context)
