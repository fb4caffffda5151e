"""A job begins with an acceptance, and moves on."""

from __future__ import annotations

from datetime import datetime

from django.db import transaction
from django.utils.translation import gettext as _

from jobs import queries
from jobs.core import budget as budgets
from jobs.core.budget import BudgetRow, budget_rows, taken_over
from jobs.models import BudgetLine, Job
from jobs.services.numbers import take_number
from materials.core.errors import Refusal
from materials.fields import QuantityField
from materials.models import Material, Person
from materials.services import audit, once
from materials.services.pricelist import saved
from materials.services.reserving import release_offcuts, reserve_offcuts
from quotes.core import document
from quotes.models import Acceptance, Revision
from quotes.queries.estimating import racked_of

ORDER = [state.value for state in Job.State]


@transaction.atomic
def make_job(
    *, revision: Revision, person: Person | None, at: datetime, key: str
) -> Job:
    """Make the job of an accepted revision; asked twice, return the same job.

    The pieces of the rack that its plans take are reserved for it where they are free.

    Raises: Refusal if the revision was not accepted.
    """
    claim = once(
        key=key, purpose="make job", person=person, payload={"revision": revision.pk}
    )
    if claim.outcome:
        return Job.objects.get(pk=claim.outcome)
    locked = Revision.objects.select_for_update().get(pk=revision.pk)
    standing = Job.objects.filter(revision=locked).first()
    if standing is not None:
        claim.settle(standing.pk)
        return standing
    if locked.state != Revision.State.ACCEPTED:
        raise Refusal(_("Only an accepted quote becomes a job; let it be accepted."))
    job = _job_of(locked, person=person, at=at)
    claim.settle(job.pk)
    return job


def _job_of(revision: Revision, *, person: Person | None, at: datetime) -> Job:
    quote = document.from_json(revision.document)
    acceptance = Acceptance.objects.filter(revision=revision).first()
    chosen = acceptance.options if acceptance is not None else []
    budget = taken_over(quote, str(chosen[0]) if chosen else "")
    number, booked_on = take_number(kind="job", on=queries.local_date(at))
    totals = budget.option.totals
    job = Job(
        number=str(number),
        revision=revision,
        client=revision.quote.visit.site.client,
        title=revision.quote.title,
        currency=budget.currency,
        budget=budgets.to_json(budget),
        cost=totals.cost,
        net=totals.net,
        gross=totals.gross,
        booked_on=booked_on,
        made_by=person,
    )
    saved(job)
    _add_lines(job, budget_rows(budget.option))
    reserve_offcuts(
        keys=racked_of(revision),
        job=job.number,
        visit=revision.quote.visit.uid,
        person=person,
    )
    audit(
        action="make job",
        subject=job.number,
        person=person,
        facts={"quote": budget.quote, "digest": revision.digest},
        seals=[job, *job.budget_lines.only("pk")],
        kind="person" if person is not None else "client",
    )
    return job


def _add_lines(job: Job, rows: tuple[BudgetRow, ...]) -> None:
    codes = {row.material for row in rows if row.material}
    materials = {item.code: item for item in Material.objects.filter(code__in=codes)}
    BudgetLine.objects.bulk_create(
        BudgetLine(
            job=job,
            key=row.key,
            position=place,
            cost_class=row.cost_class,
            nature=row.nature,
            text=row.text[:300],
            material=materials.get(row.material),
            operation=row.operation,
            supplied_by=row.supplied_by,
            quantity=QuantityField.nearest(row.quantity),
            needed=QuantityField.nearest(row.needed),
            unit=row.unit,
            pack_count=row.pack_count,
            packs=[list(pack) for pack in row.packs],
            cost=row.cost,
            price=row.price,
            trimmed_off=row.trimmed_off,
        )
        for place, row in enumerate(rows)
    )


@transaction.atomic
def change_state(*, job: Job, state: str, person: Person, at: datetime) -> Job:
    """Move a job on, or one step back; a closed job stays closed.

    Closed, it lets go of the pieces of the rack that it did not use.

    Raises: Refusal for a step that cannot be taken.
    """
    row = Job.objects.select_for_update().get(pk=job.pk)
    if state == row.state:
        return row
    if state not in ORDER or row.state == Job.State.CLOSED:
        raise Refusal(_("A closed job stays closed; choose another job."))
    if ORDER.index(state) < ORDER.index(row.state) - 1:
        raise Refusal(_("A job goes back one step at a time."))
    if state == Job.State.CLOSED and row.state != Job.State.COMPLETE:
        raise Refusal(_("Only a complete job can be closed; complete it first."))
    before, row.state = row.state, state
    on = queries.local_date(at)
    if ORDER.index(state) >= ORDER.index(Job.State.ON_SITE):
        row.started_on = row.started_on or on
    is_done = state in (Job.State.COMPLETE, Job.State.CLOSED)
    row.completed_on = (row.completed_on or on) if is_done else None
    row.closed_on = on if state == Job.State.CLOSED else None
    saved(row)
    if state == Job.State.CLOSED:
        reason = _("the job was closed without it")
        release_offcuts(job=row.number, reason=reason, person=person)
    audit(
        action="change job state",
        subject=row.number,
        person=person,
        facts={
            "from": before,
            "to": state,
            "days": [row.started_on, row.completed_on, row.closed_on],
        },
    )
    return row


@transaction.atomic
def mark_finished(*, line: BudgetLine, finished: bool, person: Person) -> BudgetLine:
    """Say that nothing more will come on a budget line, or that more may."""
    row = BudgetLine.objects.select_for_update().select_related("job").get(pk=line.pk)
    check_open(row.job)
    row.finished = finished
    row.save(update_fields=["finished"])
    audit(
        action="finish budget line",
        subject=row.job.number,
        person=person,
        facts={"line": row.key, "pk": row.pk, "finished": finished},
    )
    return row


def check_open(job: Job) -> None:
    """Refuse to record anything on a closed job."""
    if not job.is_open:
        raise Refusal(
            _("Job %(number)s is closed; nothing more can be recorded on it.")
            % {"number": job.number}
        )
