"""Reads of jobs and of what was recorded on them."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from django.core.paginator import Page
from django.db.models import Prefetch, QuerySet

from jobs.core import budget as budgets
from jobs.models import Job, Purchase, PurchaseLine, Usage
from materials.models import Business, Person
from materials.queries.paging import page_of

PAGE = 20
LISTED = (
    "number", "title", "state", "booked_on", "gross", "gross_currency", "client__name",
)  # fmt: skip


def local_date(at: datetime) -> date:
    """Return the calendar date of a moment where the business is: one query."""
    zone = Business.objects.filter(pk=1).values_list("time_zone", flat=True).first()
    return at.astimezone(ZoneInfo(zone or "UTC")).date()


def jobs_seen_by(person: Person) -> QuerySet[Job]:
    """Return the jobs a person may open; a closed job is not a setter's any more."""
    if not person.is_active:
        return Job.objects.none()
    rows = Job.objects.select_related("client", "revision__quote")
    if person.role == Person.Role.SETTER:
        rows = rows.exclude(state=Job.State.CLOSED)
    return rows.defer("budget", "revision__document", "revision__inputs")


AHEAD = (Job.State.BOOKED, Job.State.ON_SITE, Job.State.SNAGGING)


def jobs_ahead(person: Person, *, most: int) -> QuerySet[Job, Any]:
    """Return the newest jobs that are not done yet, as short rows: one query."""
    rows = jobs_seen_by(person).select_related(None).defer(None)
    # Found by their state first: newest first, SQLite would look through every job.
    ahead = rows.filter(pk__in=Job.objects.filter(state__in=AHEAD).values("pk"))
    return ahead.order_by("-pk").values("number", "title", "state")[:most]


def job_page(*, person: Person, state: str, number: str) -> Page[Job]:
    """Return one page of jobs, newest first: two queries, whatever the size."""
    rows = jobs_seen_by(person).select_related(None).select_related("client")
    rows = rows.defer(None).only(*LISTED).order_by("-pk")
    if state in Job.State.values:
        rows = rows.filter(state=state)
    return page_of(rows, PAGE, number)


def job_for(person: Person, number: str) -> Job | None:
    """Return a job the person may open, or None: foreign and missing are alike."""
    return jobs_seen_by(person).filter(number=number).first()


def budget_of(job: Job) -> budgets.Budget:
    """Return the budget the job took over from its quote."""
    return budgets.from_json(job.budget)


def purchases_of(job: Job) -> QuerySet[Purchase]:
    """Return a job's purchases with lines and returns: three queries."""
    return (
        job.purchases.select_related("supplier", "photo", "made_by")
        .prefetch_related(
            Prefetch(
                "lines",
                PurchaseLine.objects.select_related("budget_line").prefetch_related(
                    "returns"
                ),
            )
        )
        .order_by("-bought_on", "-pk")
    )


def usages_of(job: Job) -> QuerySet[Usage]:
    """Return what became of a job's goods, newest first."""
    return job.usages.select_related("budget_line", "made_by").order_by(
        "-noted_on", "-pk"
    )
