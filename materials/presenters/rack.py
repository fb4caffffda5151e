"""The rack as its page shows it: every piece to one scale, its facts, its money."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from uuid import UUID

from django.utils.translation import gettext as _
from moneyed import Money

from materials.core import amounts
from materials.core.drawing.rack import KeptPiece, draw_rack
from materials.core.drawing.records import Frame
from materials.core.outlines import rectangle
from materials.models import Business, Offcut, Person
from materials.queries.rack import left_the_rack, rack_costs


@dataclass(frozen=True, slots=True, kw_only=True)
class RackRow:
    """A piece on the rack."""

    uid: UUID
    number: int
    name: str
    size: str
    facts: str
    is_stale: bool
    money: Money | None


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

    svg: str
    rows: tuple[RackRow, ...]
    gone: tuple[GoneRow, ...]
    carried: Money | None
    stale: Money | None
    stale_number: int


def rack_sheet(
    page: Sequence[Offcut], *, first: int, business: Business, person: Person, on: date
) -> RackSheet:
    """Return one page of the rack: two queries for its money and what left it."""
    sees = person.sees_prices
    every, stale = rack_costs(business, on)
    before = on - timedelta(days=business.rack_stale_days)
    return RackSheet(
        svg=_drawn(page, first, business.system),
        rows=tuple(
            RackRow(
                uid=row.uid,
                number=number,
                name=row.material.name,
                size=size_words(row, business.system),
                facts=_facts(row, business.system),
                is_stale=(row.counted_on or row.kept_on) < before,
                money=row.cost_carried if sees else None,
            )
            for number, row in enumerate(page, start=first)
        ),
        gone=tuple(
            GoneRow(
                text=f"{row.material.name}, {size_words(row, business.system)}",
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
    """Return the size of a piece, with its thickness where it is known."""
    words = f"{row.width.text(system)} × {row.height.text(system)}"
    return f"{words} × {row.thickness.text(system)}" if row.thickness else words


def _facts(row: Offcut, system: str) -> str:
    said = [row.place, _("lot %(lot)s") % {"lot": row.lot} if row.lot else ""]
    if row.outline:
        said.append(_("a corner is cut out"))
    if row.origin:
        said.append(_("from %(origin)s") % {"origin": row.origin})
    if row.counted_on:
        said.append(_("seen %(day)s") % {"day": f"{row.counted_on:%Y-%m-%d}"})
    else:
        said.append(_("kept %(day)s") % {"day": f"{row.kept_on:%Y-%m-%d}"})
    return ", ".join(part for part in said if part)


def _drawn(page: Sequence[Offcut], first: int, system: str) -> str:
    if not page:
        return ""
    return draw_rack(
        [
            KeptPiece(outline=_outline(row), word=f"{number}")
            for number, row in enumerate(page, start=first)
        ],
        Frame(system=system, width=358),
        name="rack",
        sentence=_("%(count)d pieces on the rack, to one scale.")
        % {"count": len(page)},
    )


def _outline(row: Offcut) -> tuple[tuple[int, int], ...]:
    if row.outline:
        return tuple((int(x), int(y)) for x, y in row.outline)
    return rectangle(0, 0, row.width.ticks, row.height.ticks)
