"""Pieces that go to the rack, and pieces that come from it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from django.db import transaction
from django.utils.translation import gettext as _
from moneyed import Money

from jobs.models import BudgetLine, Job, OffcutMove
from jobs.services.booking import check_open
from materials.core import amounts
from materials.core.errors import OutOfRange, Refusal
from materials.core.kept import content_of, cost_carried
from materials.core.lengths import Length
from materials.models import Material, Offcut, Person
from materials.services import audit, once
from materials.services.pricelist import saved
from materials.services.rack import facts_of, sheet_thickness, size_of


@dataclass(frozen=True, slots=True, kw_only=True)
class OffcutEntry:
    """A piece worth keeping: its size, where it lies, what it is worth.

    The width of a trim or a rest of roll may be nothing: its sheet says it. Without a
    value the piece carries its share of what its line was quoted to cost.
    """

    width: Length
    height: Length
    value: Money | None = None
    place: str = ""
    thickness: Length | None = None
    lot: str = ""


@transaction.atomic
def keep_offcut(
    *, line: BudgetLine, entry: OffcutEntry, on: date, person: Person, key: str
) -> Offcut:
    """Put a piece of a budget line's material on the rack.

    Its value is taken off the share that was trimmed away; the job keeps the full
    price as its cost.

    Raises: Refusal for a line without a material, a size or a value below nothing.
    """
    claim = once(
        key=key,
        purpose="keep offcut",
        person=person,
        payload={
            "line": line.pk,
            "size": [entry.width.ticks, entry.height.ticks],
            "value": str(entry.value.amount) if entry.value else "",
        },
    )
    if claim.outcome:
        return Offcut.objects.get(pk=claim.outcome)
    check_open(line.job)
    material = line.material
    if material is None:
        raise Refusal(
            _("Only a material of the price list can be kept on the rack."),
            field="budget_line",
        )
    width, height = size_of(material, entry.width, entry.height)
    offcut = Offcut(
        material=material,
        width=width,
        height=height,
        thickness=entry.thickness or sheet_thickness(material),
        lot=entry.lot.strip(),
        origin=f"{line.job.number} {line.text}"[:200],
        cost_carried=_value(line, material, entry, (width, height)),
        place=entry.place.strip(),
        kept_on=on,
    )
    saved(offcut)
    _move(line.job, line, offcut, way=OffcutMove.Way.TO_RACK, on=on, person=person)
    claim.settle(offcut.pk)
    return offcut


def _value(
    line: BudgetLine,
    material: Material,
    entry: OffcutEntry,
    size: tuple[Length, Length],
) -> Money:
    if entry.value is None:
        content = content_of(material.kind, facts_of(material), *size)
        return cost_carried(line.cost, line.quantity, content)
    most = amounts.exact(line.cost)
    if not 0 <= amounts.exact(entry.value) <= most:
        raise OutOfRange(
            _("The piece is worth between 0 and the %(most)s of the whole line.")
            % {"most": amounts.plain(line.cost)},
            field="value",
        )
    return entry.value


@transaction.atomic
def use_offcut(
    *, job: Job, offcut: Offcut, on: date, person: Person, key: str
) -> OffcutMove:
    """Take a piece from the rack for a job; if it was reserved, that ends.

    Raises: Refusal if it is no longer there, or reserved for another job.
    """
    claim = once(
        key=key,
        purpose="use offcut",
        person=person,
        payload={"job": job.pk, "offcut": offcut.pk},
    )
    if claim.outcome:
        return OffcutMove.objects.get(pk=claim.outcome)
    check_open(job)
    row = Offcut.objects.select_for_update().get(pk=offcut.pk)
    if row.state != Offcut.State.ON_RACK:
        raise Refusal(_("That piece is no longer on the rack; choose another."))
    if row.reserved_for not in ("", job.number):
        raise Refusal(
            _(
                "%(mark)s is reserved for job %(job)s: choose another, or let it go on "
                "the page of the rack."
            )
            % {"mark": row.mark, "job": row.reserved_for},
            field="offcut",
        )
    row.state, row.ended_on = Offcut.State.USED, on
    row.reserved_for, row.reserved_visit = "", None
    row.end_reason = job.number
    saved(row)
    move = _move(job, None, row, way=OffcutMove.Way.FROM_RACK, on=on, person=person)
    claim.settle(move.pk)
    return move


def _move(
    job: Job, line: BudgetLine | None, offcut: Offcut, *, way: str, on: date,
    person: Person,
) -> OffcutMove:  # fmt: skip
    move = OffcutMove(
        job=job,
        budget_line=line,
        offcut=offcut,
        way=way,
        moved_on=on,
        made_by=person,
    )
    saved(move)
    audit(
        action="offcut " + way.replace("_", " "),
        subject=job.number,
        person=person,
        facts={"offcut": str(offcut.uid)},
        seals=[move, offcut] if way == OffcutMove.Way.TO_RACK else [move],
    )
    return move
