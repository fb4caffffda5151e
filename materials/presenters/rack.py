"""The rack as its page shows it: every piece to one scale, its facts, its money."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from uuid import UUID

from django.utils.formats import date_format
from django.utils.translation import gettext as _
from moneyed import Money

from materials.core import amounts
from materials.core.drawing.rack import KeptPiece, draw_rack
from materials.core.drawing.records import Frame
from materials.core.kept import FLAT, LINE, form_of
from materials.core.outlines import rectangle
from materials.models import Business, Offcut, Person
from materials.queries.rack import left_the_rack, rack_costs


@dataclass(frozen=True, slots=True, kw_only=True)
class RackRow:
    """A piece on the rack."""

    uid: UUID
    mark: str
    name: str
    size: str
    facts: str
    is_stale: bool
    money: Money | None
    reserved_for: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class GoneRow:
    """A piece that left the rack otherwise than into a job."""

    text: str
    reason: str
    on: date | None
    money: Money | None


@dataclass(frozen=True, slots=True, kw_only=True)
class RackSheet:
    """The page of the rack; money only for those who see prices."""

    drawings: tuple[tuple[str, str], ...]
    """Words and drawing: flat pieces, then rolls and lengths; each to its own scale."""
    rows: tuple[RackRow, ...]
    gone: tuple[GoneRow, ...]
    carried: Money | None
    stale: Money | None
    stale_number: int


def rack_sheet(
    page: Sequence[Offcut], *, business: Business, person: Person, on: date
) -> RackSheet:
    """Return one page of the rack: two queries for its money and what left it."""
    sees = person.sees_prices
    every, stale = rack_costs(business, on)
    before = on - timedelta(days=business.rack_stale_days)
    return RackSheet(
        drawings=_drawings(page, business.system),
        rows=tuple(
            RackRow(
                uid=row.uid,
                mark=row.mark,
                name=row.material.name,
                size=size_words(row, business.system),
                facts=_facts(row, business.system),
                is_stale=(row.counted_on or row.kept_on) < before
                and not row.reserved_for,
                reserved_for=row.reserved_for,
                money=row.cost_carried if sees else None,
            )
            for row in page
        ),
        gone=tuple(
            GoneRow(
                text=f"{row.mark} {row.material.name}, "
                f"{size_words(row, business.system)}",
                reason=row.end_reason or row.get_state_display(),
                on=row.ended_on,
                money=row.cost_carried if sees else None,
            )
            for row in left_the_rack()[:12]
        ),
        carried=amounts.total(every, business.currency) if sees else None,
        stale=amounts.total(stale, business.currency) if sees else None,
        stale_number=len(stale),
    )


def size_words(row: Offcut, system: str) -> str:
    """Return the size of a piece, with its thickness where it is known.

    Of a trim or a band only the length matters.
    """
    if form_of(row.material.kind, row.material.facts) == LINE:
        return max(row.width, row.height).text(system)
    words = f"{row.width.text(system)} × {row.height.text(system)}"
    return f"{words} × {row.thickness.text(system)}" if row.thickness else words


def piece_words(row: Offcut, system: str) -> str:
    """Return a piece as it is chosen from a list: mark, name, size, place, for whom."""
    said = [f"{row.mark} {row.material.name}", size_words(row, system), row.place]
    if row.reserved_for:
        said.append(_("reserved for this job"))
    return ", ".join(filter(None, said))


def _facts(row: Offcut, system: str) -> str:
    said = [row.place, _("lot %(lot)s") % {"lot": row.lot} if row.lot else ""]
    if row.outline:
        said.append(_("a corner is cut out"))
    if row.origin:
        said.append(_("from %(origin)s") % {"origin": row.origin})
    if row.counted_on:
        said.append(_("seen %(day)s") % {"day": f"{row.counted_on:%Y-%m-%d}"})
    else:
        said.append(_("kept %(day)s") % {"day": date_format(row.kept_on, _("j M Y"))})
    return ", ".join(part for part in said if part)


def _drawings(page: Sequence[Offcut], system: str) -> tuple[tuple[str, str], ...]:
    """Return the pieces drawn: rolls and lengths apart, that boards stay in sight."""
    flat = [
        row for row in page if form_of(row.material.kind, row.material.facts) == FLAT
    ]
    long = [row for row in page if row not in flat]
    parts = [(_("Boards and other flat pieces"), flat), (_("Rolls and lengths"), long)]
    return tuple(
        (words, _drawn(rows, system, name=f"rack-{at}"))
        for at, (words, rows) in enumerate(parts)
        if rows
    )


def _drawn(rows: Sequence[Offcut], system: str, *, name: str) -> str:
    return draw_rack(
        [KeptPiece(outline=_outline(row), word=row.mark) for row in rows],
        Frame(system=system, width=358),
        name=name,
        sentence=_("%(count)d pieces on the rack, to one scale.")
        % {"count": len(rows)},
    )


def _outline(row: Offcut) -> tuple[tuple[int, int], ...]:
    if row.outline:
        return tuple((int(x), int(y)) for x, y in row.outline)
    return rectangle(0, 0, row.width.ticks, row.height.ticks)
