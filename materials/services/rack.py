"""The rack: pieces put there by hand, counted, missed, written off with their money.

What a job keeps or takes goes through the jobs; this is the rack itself.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _
from moneyed import Money

from materials.core import amounts
from materials.core.errors import OutOfRange, Refusal
from materials.core.kept import whole_size
from materials.core.kind import read_facts
from materials.core.kinds import kind_of
from materials.core.lengths import Length
from materials.models import Business, Material, Offcut, Person
from materials.services.keeping import audit, once
from materials.services.pricelist import saved


@dataclass(frozen=True, slots=True, kw_only=True)
class RackEntry:
    """A piece as it is put on the rack by hand; the width of a trim may be nothing.

    `notch` is what is cut out of its upper right corner, width and height.
    """

    material: Material
    width: Length
    height: Length
    value: Money
    origin: str = ""
    place: str = ""
    lot: str = ""
    thickness: Length | None = None
    notch: tuple[Length, Length] | None = None


@transaction.atomic
def add_offcut(*, entry: RackEntry, on: date, person: Person, key: str) -> Offcut:
    """Put a piece on the rack that comes from no job of ours, or from before.

    Raises: Refusal for a size, a notch or a value that cannot be.
    """
    claim = once(
        key=key,
        purpose="add offcut",
        person=person,
        payload={
            "material": entry.material.pk,
            "sizes": repr((entry.width, entry.height, entry.notch, entry.thickness)),
            "value": str(entry.value.amount),
            "words": [entry.origin, entry.lot, entry.place],
        },
    )
    if claim.outcome:
        return Offcut.objects.get(pk=claim.outcome)
    width, height = size_of(entry.material, entry.width, entry.height)
    _check(entry, width, height)
    offcut = Offcut(
        material=entry.material,
        width=width,
        height=height,
        thickness=entry.thickness or sheet_thickness(entry.material),
        outline=notched(width, height, entry.notch),
        lot=entry.lot.strip(),
        origin=entry.origin.strip(),
        cost_carried=entry.value,
        place=entry.place.strip(),
        kept_on=on,
    )
    saved(offcut)
    _said("offcut entered by hand", offcut, person, seals=[offcut])
    claim.settle(offcut.pk)
    return offcut


def sheet_thickness(material: Material | None) -> Length | None:
    """Return the thickness on a product's sheet, or None where it has none.

    One query: the business says what a bare number of the sheet means.
    """
    typed = material.facts.get("thickness") if material else None
    if not typed:
        return None
    system = Business.objects.values_list("system", flat=True).get(pk=1)
    return Length.parse(str(typed), system=system) or None


def notched(
    width: Length, height: Length, notch: tuple[Length, Length] | None
) -> list[list[int]] | None:
    """Return the corners of a piece with its upper right corner cut out, in ticks."""
    if notch is None:
        return None
    right, top = width.ticks, height.ticks
    x, y = right - notch[0].ticks, top - notch[1].ticks
    return [[0, 0], [right, 0], [right, y], [x, y], [x, top], [0, top]]


def facts_of(material: Material) -> dict[str, object]:
    """Return the facts on a product's sheet, read: one query.

    Shape: none for facts that cannot be read any more.
    """
    system = Business.objects.values_list("system", flat=True).get(pk=1)
    try:
        return read_facts(kind_of(material.kind), material.facts, system=system)
    except Refusal:
        return {}


def size_of(material: Material, width: Length, height: Length) -> tuple[Length, Length]:
    """Return a piece's width and height; what a roll or trim leaves open is filled in.

    Raises: Refusal where a size is missing.
    """
    return whole_size(material.kind, facts_of(material), width, height)


def _check(entry: RackEntry, width: Length, height: Length) -> None:
    if amounts.exact(entry.value) < 0:
        raise OutOfRange(_("A piece cannot be worth less than nothing."), field="value")
    if entry.notch is not None and not (
        0 < entry.notch[0].ticks < width.ticks
        and 0 < entry.notch[1].ticks < height.ticks
    ):
        raise OutOfRange(
            _("What is cut out must be smaller than the piece, both ways."),
            field="notch_width",
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Counted:
    """What a stock-take came to: pieces found, pieces missed, and their money."""

    found: int
    missing: int
    lost: Money


@transaction.atomic
def count_rack(
    *,
    found: Sequence[UUID],
    missing: Sequence[UUID],
    on: date,
    person: Person,
    key: str,
) -> Counted:
    """Keep a stock-take: who is there is dated, who is not leaves with its money.

    A piece that meanwhile left the rack is passed over.
    Raises: Refusal when a piece is said to be both.
    """
    claim = once(
        key=key,
        purpose="count rack",
        person=person,
        payload={
            "found": sorted(map(str, found)),
            "missing": sorted(map(str, missing)),
        },
    )
    both = set(found) & set(missing)
    if both:
        raise Refusal(_("A piece cannot be here and not be found; choose one."))
    rows = Offcut.objects.select_for_update().order_by("pk")
    if claim.outcome:
        number, gone, lost = claim.outcome.split()
        money = amounts.money(lost, _currency())
        return Counted(found=int(number), missing=int(gone), lost=money)
    here = rows.filter(uid__in=found, state=Offcut.State.ON_RACK)
    seen = [str(row.uid) for row in here]
    here.update(counted_on=on)
    missed = list(rows.filter(uid__in=missing, state=Offcut.State.ON_RACK))
    for row in missed:
        _end(row, Offcut.State.NOT_FOUND, on=on, reason=_("not found when counted"))
    money = amounts.total((row.cost_carried for row in missed), _currency())
    _said_of_count(seen, missed, on=on, person=person)
    claim.settle(f"{len(seen)} {len(missed)} {amounts.plain(money)}")
    return Counted(found=len(seen), missing=len(missed), lost=money)


def _said_of_count(
    seen: Sequence[str], missed: Sequence[Offcut], *, on: date, person: Person
) -> None:
    audit(
        action="rack counted",
        subject="rack",
        person=person,
        facts={
            "found": len(seen),
            "seen": list(seen),
            "missing": [str(row.uid) for row in missed],
            "reason": missed[0].end_reason if missed else "",
            "on": on,
        },
    )


@transaction.atomic
def write_off(
    *, offcut: Offcut, reason: str, on: date, person: Person, key: str
) -> Offcut:
    """Take a piece off the rack for good, with its money and a reason.

    Raises: Refusal without a reason, if it is no longer on the rack, or reserved.
    """
    claim = once(
        key=key,
        purpose="write off offcut",
        person=person,
        payload={"offcut": offcut.pk, "reason": reason.strip()},
    )
    row = Offcut.objects.select_for_update().get(pk=offcut.pk)
    if claim.outcome:
        return row
    if not reason.strip():
        raise Refusal(_("Say why it is written off."), field="reason")
    if row.state != Offcut.State.ON_RACK:
        raise Refusal(_("That piece is no longer on the rack; choose another."))
    if row.reserved_for:
        raise Refusal(
            _("%(mark)s is reserved for job %(job)s; let it go first.")
            % {"mark": row.mark, "job": row.reserved_for}
        )
    _end(row, Offcut.State.WRITTEN_OFF, on=on, reason=reason.strip()[:200])
    _said("offcut written off", row, person)
    claim.settle(row.pk)
    return row


@transaction.atomic
def write_off_stale(*, on: date, person: Person, key: str) -> tuple[int, Money]:
    """Write off every piece nobody has seen for as long as the rules allow.

    What a job has reserved stays. Returns how many, and their money.
    """
    claim = once(key=key, purpose="write off stale", person=person, payload={})
    if claim.outcome:
        number, carried = claim.outcome.split()
        return int(number), amounts.money(carried, _currency())
    business = Business.objects.get(pk=1)
    before = on - timedelta(days=business.rack_stale_days)
    rows = [
        row
        for row in Offcut.objects.select_for_update()
        .filter(state=Offcut.State.ON_RACK, kept_on__lt=before, reserved_for="")
        .order_by("pk")
        if (row.counted_on or row.kept_on) < before
    ]
    for row in rows:
        _end(row, Offcut.State.WRITTEN_OFF, on=on, reason=_("kept too long"))
        _said("offcut written off", row, person)
    money = amounts.total((row.cost_carried for row in rows), _currency())
    claim.settle(f"{len(rows)} {amounts.plain(money)}")
    return len(rows), money


@transaction.atomic
def set_rack_rules(
    *, use: str, value: Fraction, stale_days: int, person: Person
) -> Business:
    """Set whether plans use pieces up, what those are worth then, and for how long.

    Raises: Refusal naming the field at fault.
    """
    if not 0 <= value <= 1:
        raise OutOfRange(_("A share lies between 0 and 100 %."), field="value")
    row = Business.objects.select_for_update().get(pk=1)
    row.rack_use, row.rack_value, row.rack_stale_days = use, value, stale_days
    saved(row)
    audit(
        action="rack rules set",
        subject="rack",
        person=person,
        facts={"use": use, "value": str(value), "days": stale_days},
    )
    return row


def _end(row: Offcut, state: str, *, on: date, reason: str) -> None:
    row.state, row.ended_on, row.end_reason = state, on, reason
    row.reserved_for, row.reserved_visit = "", None
    saved(row)


def _said(
    action: str, row: Offcut, person: Person, *, seals: Sequence[Offcut] = ()
) -> None:
    audit(
        action=action,
        subject=row.material.code,
        person=person,
        facts={
            "offcut": str(row.uid),
            "money": amounts.plain(row.cost_carried),
            "reason": row.end_reason,
            "on": row.ended_on,
        },
        seals=seals,
    )


def _currency() -> str:
    return Business.objects.values_list("currency", flat=True).get(pk=1)
