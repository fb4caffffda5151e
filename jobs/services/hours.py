"""What the work took in hours: day sheets."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from django.db import transaction
from django.utils.translation import gettext as _

from jobs import queries
from jobs.models import BudgetLine, DaySheet, HoursLine, Job
from jobs.services.booking import check_open
from materials.core.errors import OutOfRange, Refusal
from materials.core.quantities import decimal_text
from materials.fields import HoursField
from materials.models import Person
from materials.services import audit, once
from materials.services.pricelist import saved

MOST_HOURS = Fraction(24)


@dataclass(frozen=True, slots=True, kw_only=True)
class HoursEntry:
    """Hours on one operation as entered."""

    budget_line: BudgetLine | None
    hours: Fraction
    text: str = ""
    role: str = HoursLine.Role.SETTER


@transaction.atomic
def record_day(
    *, job: Job, worker: Person, on: date, lines: Sequence[HoursEntry],
    person: Person, key: str,
) -> DaySheet:  # fmt: skip
    """Record the hours of one person on one day, at today's wage and overhead.

    Raises: OutOfRange for no time, or more than a day has with what is on the
    person's day sheets already.
    """
    claim = once(
        key=key,
        purpose="record day",
        person=person,
        payload={
            "job": job.pk,
            "worker": worker.pk,
            "on": str(on),
            "lines": [
                [
                    entry.budget_line.pk if entry.budget_line else None,
                    str(entry.hours),
                    entry.text,
                    entry.role,
                ]
                for entry in lines
            ],
        },
    )
    if claim.outcome:
        return DaySheet.objects.get(pk=claim.outcome)
    check_open(job)
    _check_hours(worker, on=on, lines=lines)
    sheet = DaySheet(job=job, person=worker, worked_on=on, made_by=person)
    saved(sheet)
    for entry in lines:
        saved(_hours_line(sheet, entry))
    audit(
        action="record day",
        subject=job.number,
        person=person,
        facts={"worker": worker.pk, "on": str(on), "lines": len(lines)},
        seals=[sheet, *sheet.lines.only("pk")],
    )
    claim.settle(sheet.pk)
    return sheet


def _check_hours(worker: Person, *, on: date, lines: Sequence[HoursEntry]) -> None:
    if not lines or any(entry.hours <= 0 for entry in lines):
        raise OutOfRange(_("Enter hours above 0 on at least one line."), field="hours")
    # The person's row is locked, so that two sheets at once cannot pass 24 hours.
    Person.objects.select_for_update().get(pk=worker.pk)
    whole = queries.hours_on(worker, on=on) + sum(
        (entry.hours for entry in lines), Fraction(0)
    )
    if whole > MOST_HOURS:
        raise OutOfRange(
            _("With this, %(person)s has %(hours)s hours on that day; a day has 24.")
            % {"person": worker, "hours": decimal_text(whole, places=2)},
            field="hours",
        )


def _hours_line(sheet: DaySheet, entry: HoursEntry) -> HoursLine:
    line = entry.budget_line
    if line is not None and line.job_id != sheet.job_id:
        raise Refusal(_("That budget line is of another job."), field="budget_line")
    wage, overhead = queries.wages_of(entry.role)
    return HoursLine(
        sheet=sheet,
        budget_line=line,
        text=entry.text.strip() or (line.text if line is not None else _("Work")),
        role=entry.role,
        hours=HoursField.nearest(entry.hours),
        wage=wage,
        overhead=overhead,
    )
