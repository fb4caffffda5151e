"""What the pages say of pieces that plans take from the rack, as they stand now."""

from __future__ import annotations

from collections.abc import Sequence

from django.utils.translation import gettext as _

from materials.core.need import Need
from materials.core.plans.records import MaterialPlan
from materials.models import Offcut
from materials.queries.rack import pieces_of
from quotes.core.board_problems import racked_by

RackNotes = dict[str, tuple[str, str]]
"""By key of a piece: its mark, and what is to be minded."""


def notes_for(needs: Sequence[Need], job: str = "") -> RackNotes:
    """Return what to mind of each piece that plans take: one query, none for none.

    `job` is the number of the job whose plans they are; a visit has none.
    """
    rows = pieces_of(racked_by(needs))
    return {key: (row.mark, piece_note(row, job)) for key, row in rows.items()}


def plan_notes(plan: MaterialPlan, notes: RackNotes) -> tuple[str, ...]:
    """Return the sentences for one plan, pieces of one fate together."""
    marks: dict[str, list[str]] = {}
    for key in plan.taken:
        mark, note = notes.get(key, ("", _("It is not on the rack any more.")))
        marks.setdefault(note, []).append(mark)
    return tuple(
        f"{', '.join(filter(None, own))}: {note}" if any(own) else note
        for note, own in marks.items()
    )


def piece_note(row: Offcut, job: str) -> str:
    """Return what to mind of one piece that a job's or a visit's plan counts on."""
    if row.state == Offcut.State.USED and row.end_reason == job:
        return _("taken into this job.")
    if row.state != Offcut.State.ON_RACK:
        return _("no longer on the rack (%(why)s). Buy new in its place.") % {
            "why": row.end_reason or row.get_state_display()
        }
    if job and row.reserved_for == job:
        return _("reserved for this job. Take it into the job when you cut it.")
    if row.reserved_for:
        return _("reserved for job %(job)s.") % {"job": row.reserved_for}
    if job:
        return _("not reserved. Take it into the job before you rely on it.")
    return _(
        "not reserved yet. It is reserved when the quote is accepted; until then "
        "another job may take it."
    )
