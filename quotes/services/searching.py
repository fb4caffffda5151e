"""Asking for a deeper search of a visit's board plans."""

from __future__ import annotations

from datetime import date, datetime

from materials.models import Person
from materials.services import owe_searches
from quotes.core.board_problems import board_plans
from quotes.core.takeoff import take_off
from quotes.models import Visit
from quotes.queries.estimating import catalogue_of, visit_record, with_kept_plans


def look_deeper(*, visit: Visit, on: date, person: Person, at: datetime) -> int:
    """Promise a search for each board plan of a visit that could be cheaper.

    Returns how many were not promised before. Sent again it promises nothing more, and
    what the visit is changed to meanwhile is another problem.

    Raises: Refusal where the visit cannot be worked out.
    """
    record = visit_record(visit)
    needs = take_off(
        record, with_kept_plans(record, catalogue_of(on, record, visit))
    ).needs
    return owe_searches(
        problems=[plan.problem for plan in board_plans(needs) if plan.is_open],
        about=visit.title,
        person=person,
        at=at,
    )
