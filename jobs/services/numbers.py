"""Numbers without gaps, from a locked row."""

from __future__ import annotations

from datetime import date

from django.db import transaction

from jobs.core.numbering import DocumentNumber, following, series_year
from jobs.models import Series
from materials.services import audit


def take_number(*, kind: str, on: date) -> tuple[DocumentNumber, date]:
    """Return the next number of a series and the date to put on the document.

    Locks the series row until the transaction of the document ends: a document that
    is not made gives its number back. The date is never before that of the number
    given out last, so a clock set back cannot break the order.
    """
    if not transaction.get_connection().in_atomic_block:
        raise RuntimeError("take_number() belongs in the transaction of its document.")
    year = series_year(kind, on.year)
    opened, new = Series.objects.get_or_create(kind=kind, year=year)
    if new:
        # Nothing points to a counter; the trail alone can tell that it is this one.
        audit(
            action="open series",
            subject=f"series {kind} {year}",
            person=None,
            kind="program",
            facts={"series": opened.pk},
        )
    row = Series.objects.select_for_update().get(kind=kind, year=year)
    number = following(row.last, kind=kind, year=on.year)
    dated = max(on, row.last_on or on)
    row.last, row.last_on = number.count, dated
    row.save(update_fields=["last", "last_on"])
    return number, dated
