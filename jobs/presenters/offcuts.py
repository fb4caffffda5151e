"""Pieces of the rack on a job's page: moved, counted on, and left over by its plans."""

from __future__ import annotations

from dataclasses import dataclass
from urllib.parse import urlencode

from django.utils.translation import gettext as _

from jobs.models import Job
from jobs.presenters.work import NotedRow
from jobs.queries.leftovers import rests_of
from materials.models import Offcut
from materials.presenters import core_words
from materials.presenters.rack import size_words
from materials.queries.rack import pieces_of
from quotes.models import Revision
from quotes.presenters.cut_drawings import stock_words
from quotes.presenters.racked import piece_note


def move_rows(job: Job, system: str) -> tuple[NotedRow, ...]:
    """Return what went to the rack from a job and came from it: one query."""
    moves = job.offcut_moves.select_related("offcut__material")
    return tuple(
        NotedRow(
            on=move.moved_on,
            text=_words(move.offcut, system),
            figure=move.get_way_display(),
        )
        for move in moves
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class CountedRow:
    """A piece of the rack the job's plan counts on, and what is to be minded.

    `piece` is its key where it can be taken into the job, else nought.
    """

    text: str
    note: str
    piece: int


def counted_on(job: Job, system: str) -> tuple[CountedRow, ...]:
    """Return the pieces the agreed plan takes that are not in the job: two queries."""
    inputs = Revision.objects.filter(pk=job.revision_id)
    keys = inputs.values_list("inputs__racked", flat=True).get() or ()
    rows = pieces_of(list(keys))
    return tuple(
        CountedRow(
            text=_words(row, system),
            note=piece_note(row, job.number),
            piece=row.pk if _is_free_for(row, job) else 0,
        )
        for row in sorted(rows.values(), key=lambda row: row.pk)
        if not (row.state == Offcut.State.USED and row.end_reason == job.number)
    )


def _is_free_for(row: Offcut, job: Job) -> bool:
    is_here = row.state == Offcut.State.ON_RACK
    return is_here and row.reserved_for in ("", job.number)


def _words(row: Offcut, system: str) -> str:
    said = (f"{row.mark} {row.material.name}", size_words(row, system), row.place)
    return ", ".join(filter(None, said))


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftRow:
    """A rest that the plan leaves over, and the form's fields as a query."""

    text: str
    query: str


def left_rows(job: Job, system: str) -> tuple[LeftRow, ...]:
    """Return the rests that the plan leaves, each with what fills the form in.

    What is cut otherwise leaves other rests, so that each is measured before it is
    kept.
    """
    rows = []
    for rest in rests_of(job):
        sizes = [one.text(system) for one in (rest.width, rest.length) if one]
        text = _("%(name)s, %(stock)s: %(size)s") % {
            "name": core_words(rest.line.text),
            "stock": stock_words(rest.plan, rest.number),
            "size": " × ".join(sizes),
        }
        fields = {
            "line": rest.line.pk,
            "height": rest.length.exact_text(system),
            "width": rest.width.exact_text(system) if rest.width else "",
        }
        rows.append(LeftRow(text=text, query=urlencode(fields)))
    return tuple(rows)
