"""Reads of the rack: what lies there, what it carries, what left it."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import replace
from datetime import date, timedelta
from fractions import Fraction
from uuid import UUID

from django.core.paginator import Page, Paginator
from django.db.models import Exists, Q, QuerySet, Subquery
from moneyed import Money

from materials.core.lengths import Length
from materials.core.need import MaterialFacts, RackPiece
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
        row.cost_carried
        for row in rows
        if (row.counted_on or row.kept_on) < before and not row.reserved_for
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


def pieces_of(keys: Collection[str]) -> dict[str, Offcut]:
    """Return pieces by key, wherever they are now: one query, none for none."""
    if not keys:
        return {}
    rows = Offcut.objects.filter(uid__in=keys).select_related("material")
    return {str(row.uid): row for row in rows}


def usable_rack(visit: UUID | None = None) -> list[dict[str, str]]:
    """Return the rectangles that plans may use up, as plain text: one query.

    What a job has reserved is left out, but for the job of this very visit. None where
    the rules leave the rack alone. What was agreed keeps this list.
    """
    rows = (
        Offcut.objects.filter(
            Exists(Business.objects.filter(pk=1, rack_use=Business.RackUse.USE)),
            Q(reserved_for="") | Q(reserved_visit=visit, reserved_visit__isnull=False),
            state=Offcut.State.ON_RACK,
            outline__isnull=True,
        )
        .annotate(share=Subquery(Business.objects.filter(pk=1).values("rack_value")))
        .select_related("material")
        .order_by("pk")
    )
    return [
        {
            "key": str(row.uid),
            "material": row.material.code,
            "width": str(row.width.ticks),
            "height": str(row.height.ticks),
            "value": str(row.share),
            "place": row.place,
            "mark": row.mark,
        }
        for row in rows
    ]


def with_rack(
    catalogue: Mapping[str, MaterialFacts], rack: Iterable[Mapping[str, str]]
) -> dict[str, MaterialFacts]:
    """Return a catalogue whose materials know what of them is kept."""
    kept: dict[str, list[RackPiece]] = {}
    for row in rack:
        width, height = Length(int(row["width"])), Length(int(row["height"]))
        kept.setdefault(row["material"], []).append(
            RackPiece(
                key=row["key"],
                words=row["place"],
                width=width,
                height=height,
                value=Fraction(row["value"]),
                mark=row.get("mark", ""),
            )
        )
    return {
        code: replace(material, rack=tuple(kept[code])) if code in kept else material
        for code, material in catalogue.items()
    }
