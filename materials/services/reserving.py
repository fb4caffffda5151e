"""Reserving pieces of the rack for a job, and letting them go again.

A piece is reserved while it lies on the rack; once it is used, missed or gone, nothing
is left to reserve. Each step names the pieces, so that the trail knows for whom every
one of them is kept.
"""

from __future__ import annotations

from collections.abc import Sequence
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from materials.core.errors import Refusal
from materials.models import Offcut, Person
from materials.services.keeping import audit, once

RESERVED = "offcuts reserved"
"""The one action of both: for a job by its number, or for none again."""


@transaction.atomic
def reserve_offcuts(
    *, keys: Sequence[str], job: str, visit: UUID, person: Person | None
) -> list[Offcut]:
    """Reserve for a job those of the pieces that lie on the rack and are free.

    Returns them; what another job has, or what has gone meanwhile, stays as it is.
    Asked again it reserves nothing more. A piece that somebody is moving at this moment
    is passed over: whoever accepts holds the trail already, and must not wait for one
    who holds a piece and waits for the trail.
    """
    rows = list(
        Offcut.objects.select_for_update(skip_locked=True)
        .filter(uid__in=keys, state=Offcut.State.ON_RACK, reserved_for="")
        .order_by("pk")
    )
    _set(rows, job=job, visit=visit)
    if rows:
        _said(rows, job=job, visit=visit, reason="", person=person)
    return rows


@transaction.atomic
def release_offcuts(*, job: str, reason: str, person: Person | None) -> list[Offcut]:
    """Let go of every piece that a job has reserved and did not use; return them."""
    rows = list(
        Offcut.objects.select_for_update().filter(reserved_for=job).order_by("pk")
    )
    _set(rows, job="", visit=None)
    if rows:
        _said(rows, job="", visit=None, reason=reason, person=person)
    return rows


@transaction.atomic
def release_offcut(*, offcut: Offcut, person: Person, key: str) -> Offcut:
    """Let go of one piece, so that whoever needs it may plan with it.

    Raises: Refusal where it is not reserved.
    """
    claim = once(
        key=key,
        purpose="release offcut",
        person=person,
        payload={"offcut": offcut.pk},
    )
    row = Offcut.objects.select_for_update().get(pk=offcut.pk)
    if claim.outcome:
        return row
    if not row.reserved_for:
        raise Refusal(_("%(mark)s is not reserved any more.") % {"mark": row.mark})
    reason = _("let go by hand")
    _set([row], job="", visit=None)
    _said([row], job="", visit=None, reason=reason, person=person)
    claim.settle(row.pk)
    return row


def _set(rows: Sequence[Offcut], *, job: str, visit: UUID | None) -> None:
    for row in rows:
        row.reserved_for, row.reserved_visit = job, visit
    Offcut.objects.bulk_update(rows, ["reserved_for", "reserved_visit"])


def _said(
    rows: Sequence[Offcut],
    *,
    job: str,
    visit: UUID | None,
    reason: str,
    person: Person | None,
) -> None:
    audit(
        action=RESERVED,
        subject=job or "rack",
        person=person,
        facts={
            "offcuts": [str(row.uid) for row in rows],
            "job": job,
            "visit": str(visit) if visit else "",
            "reason": reason,
        },
        kind="person" if person is not None else "client",
    )
