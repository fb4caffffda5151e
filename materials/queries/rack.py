"""Reads of the rack: what lies there, what it carries, what left it."""

from __future__ import annotations

from datetime import date, timedelta

from django.core.paginator import Page, Paginator
from django.db.models import QuerySet
from moneyed import Money

from materials.models import Business, Offcut

PAGE = 24


def rack() -> QuerySet[Offcut]:
    """Return the pieces on the rack with their materials, largest kind first."""
    return (
        Offcut.objects.filter(state=Offcut.State.ON_RACK)
        .select_related("material")
        .order_by("material__kind", "material__name", "-kept_on", "-pk")
    )


def rack_page(number: str) -> Page[Offcut]:
    """Return one page of the rack: two queries, whatever its size."""
    return Paginator(rack(), PAGE).get_page(number)


def rack_costs(business: Business, on: date) -> tuple[list[Money], list[Money]]:
    """Return what each piece carries: of all, and of those kept too long. One query."""
    rows = Offcut.objects.filter(state=Offcut.State.ON_RACK).defer("outline")
    before = on - timedelta(days=business.rack_stale_days)
    every = [row.cost_carried for row in rows]
    stale = [
        row.cost_carried for row in rows if (row.counted_on or row.kept_on) < before
    ]
    return every, stale


def left_the_rack() -> QuerySet[Offcut]:
    """Return the pieces that were written off or not found, the last ones first."""
    return (
        Offcut.objects.filter(
            state__in=(Offcut.State.WRITTEN_OFF, Offcut.State.NOT_FOUND)
        )
        .select_related("material")
        .order_by("-ended_on", "-pk")
    )
