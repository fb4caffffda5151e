"""Writes of what was measured.

A surface arrives as the visit file writes it. It is stored, the whole visit is read
back by the core, and what the core refuses is rolled back: so nothing is ever kept
that could not be computed, and page and file refuse alike.
"""

from __future__ import annotations

import uuid
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from django.core.files.uploadedfile import UploadedFile
from django.db import transaction
from django.utils.translation import gettext as _

from materials.core.errors import Refusal
from materials.models import Business, Person
from materials.services import audit, keep_file, once
from materials.services.pricelist import saved
from quotes.core.visit import Visit as VisitRecord
from quotes.models import (
    Client,
    Opening,
    Region,
    Site,
    Space,
    Surface,
    Visit,
    VisitPhoto,
)
from quotes.queries import visit_record
from quotes.services.shapes import check_shape

SURFACE_COLUMNS = ("name", "role", "times", "measured_to", "exposure", "use")


@dataclass(frozen=True, slots=True, kw_only=True)
class VisitEntry:
    """A visit as entered: whose, where, when, what it is about."""

    title: str
    held_on: date
    client_name: str
    address: str
    email: str = ""
    phone: str = ""
    nature: str = "household"
    site_facts: Mapping[str, object] = field(default_factory=dict)
    client: Client | None = None
    system: str = ""


@transaction.atomic
def make_visit(*, entry: VisitEntry, person: Person, key: str) -> Visit:
    """Begin a visit: its client, its site, its date.

    Raises: Refusal for a field that is missing or not understood.
    """
    claim = once(
        key=key, purpose="make visit", person=person, payload={"entry": str(entry)}
    )
    if claim.outcome:
        return Visit.objects.get(pk=claim.outcome)
    client = entry.client or Client(
        name=entry.client_name.strip(),
        nature=entry.nature,
        address=entry.address,
        email=entry.email,
        phone=entry.phone,
    )
    if client._state.adding:
        saved(client)
    site = Site(client=client, address=entry.address, facts=dict(entry.site_facts))
    saved(site)
    visit = Visit(
        site=site,
        title=entry.title.strip(),
        held_on=entry.held_on,
        system=entry.system or Business.objects.get(pk=1).system,
        made_by=person,
    )
    saved(visit)
    check_visit(visit)
    audit(action="make visit", subject=f"visit {visit.pk}", person=person)
    claim.settle(visit.pk)
    return visit


@transaction.atomic
def save_visit(*, visit: Visit, entry: VisitEntry, version: int | None) -> Visit:
    """Change what a visit is about.

    Raises: Refusal when somebody else changed it meanwhile.
    """
    visit = _locked(visit, version)
    client, site = visit.site.client, visit.site
    client.name, client.email = entry.client_name.strip(), entry.email
    client.phone, client.nature = entry.phone, entry.nature
    saved(client)
    site.address, site.facts = entry.address, dict(entry.site_facts)
    saved(site)
    visit.title, visit.held_on = entry.title.strip(), entry.held_on
    saved(visit)
    check_visit(visit)
    return visit


def _locked(visit: Visit, version: int | None) -> Visit:
    """Return the visit locked for this transaction, its version moved on."""
    row = (
        Visit.objects.select_for_update(of=("self",))
        .select_related("site__client")
        .get(pk=visit.pk)
    )
    if version is not None and row.version != version:
        raise Refusal(
            _(
                "This visit was changed on another screen meanwhile; "
                "your entry is still here: compare, then save again."
            ),
            field="version",
        )
    row.version += 1
    row.save(update_fields=["version", "changed_at"])
    return row


def check_visit(visit: Visit) -> VisitRecord:
    """Let the core read the stored visit, and refuse what it refuses."""
    fresh = Visit.objects.select_related("site__client").get(pk=visit.pk)
    return visit_record(fresh)


@dataclass(frozen=True, slots=True, kw_only=True)
class SpaceEntry:
    """A space as entered."""

    name: str
    times: int = 1
    notes: str = ""


@transaction.atomic
def save_space(
    *,
    visit: Visit,
    entry: SpaceEntry,
    key: str,
    person: Person,
    space: Space | None = None,
) -> Space:
    """Add a space to a visit, or change it."""
    claim = once(
        key=key,
        purpose="save space",
        person=person,
        payload={
            "visit": visit.pk,
            "space": space.pk if space else None,
            "entry": str(entry),
        },
    )
    if claim.outcome:
        return Space.objects.get(pk=claim.outcome)
    visit = _locked(visit, None)
    row = space or Space(visit=visit, position=visit.spaces.count())
    row.name, row.times = entry.name.strip(), entry.times
    row.facts = {name: value for name, value in row.facts.items() if name != "notes"}
    row.facts |= {"notes": entry.notes} if entry.notes else {}
    row.version += 0 if row._state.adding else 1
    saved(row)
    check_visit(visit)
    claim.settle(row.pk)
    return row


@transaction.atomic
def remove_space(*, space: Space, person: Person) -> None:
    """Take a space out of a visit, with all that is in it."""
    _locked(space.visit, None)
    audit(
        action="remove space",
        subject=f"visit {space.visit_id}",
        person=person,
        facts={"name": space.name},
    )
    space.delete()


@transaction.atomic
def save_surface(
    *,
    space: Space,
    entry: Mapping[str, Any],
    person: Person,
    key: str,
    surface: Surface | None = None,
    version: int | None = None,
) -> Surface:
    """Store a surface as the visit file writes it; its parts are replaced whole.

    Raises: Refusal with the field (`shape.width`, `openings[0].left`) and a sentence
    for whatever the core does not understand or allow, or for a stale version.
    """
    claim = once(
        key=key,
        purpose="save surface",
        person=person,
        payload={
            "space": space.pk,
            "surface": surface.pk if surface else None,
            "entry": dict(entry),
        },
    )
    if claim.outcome:
        return Surface.objects.get(pk=claim.outcome)
    visit = _locked(space.visit, None)
    row = _surface_row(space, surface, version)
    _fill_surface(row, entry)
    _named_once(space, row)
    saved(row)
    row.openings.all().delete()
    row.regions.all().delete()
    for place, opening in enumerate(entry.get("openings", [])):
        saved(_opening_row(row, place, opening))
    for place, region in enumerate(entry.get("regions", [])):
        saved(_region_row(row, place, region))
    try:
        check_shape(check_visit(visit), surface=str(row.uid))
    except Refusal as refusal:
        raise _within_surface(refusal) from refusal
    claim.settle(row.pk)
    return row


@transaction.atomic
def keep_set_outs(
    *,
    space: Space,
    patterns: Mapping[str, Mapping[str, Any]],
    versions: Mapping[str, int],
    person: Person,
    key: str,
) -> None:
    """Keep the patterns of several surfaces of a space, by their ids, all or none.

    Raises: Refusal for a surface that is gone or was changed since `versions`.
    """
    claim = once(
        key=key,
        purpose="keep set-outs",
        person=person,
        payload={"space": space.pk, "patterns": dict(patterns)},
    )
    if claim.outcome:
        return
    visit = _locked(space.visit, None)
    rows = {
        str(row.uid): row
        for row in Surface.objects.select_for_update(of=("self",)).filter(space=space)
    }
    for uid, pattern in patterns.items():
        row = rows.get(uid)
        if row is None or row.version != versions.get(uid):
            raise Refusal(
                _(
                    "One of the surfaces was changed on another screen meanwhile; "
                    "look at the set-outs again."
                ),
                field="version",
            )
        row.facts = {**row.facts, "pattern": dict(pattern)}
        row.version += 1
        saved(row)
    check_visit(visit)
    claim.settle(space.pk)


def _surface_row(space: Space, surface: Surface | None, version: int | None) -> Surface:
    if surface is None:
        return Surface(space=space, position=space.surfaces.count())
    row = Surface.objects.select_for_update(of=("self",)).get(pk=surface.pk)
    if version is not None and row.version != version:
        raise Refusal(
            _(
                "This surface was changed on another screen meanwhile; "
                "your entry is still here: compare, then save again."
            ),
            field="version",
        )
    row.version += 1
    return row


def _named_once(space: Space, row: Surface) -> None:
    """Refuse a second surface of one name: papers could not tell the two apart."""
    others = space.surfaces.exclude(pk=row.pk).filter(name__iexact=row.name)
    if others.exists():
        raise Refusal(
            _("%(space)s has a “%(name)s” already; give this one another name.")
            % {"space": space.name, "name": row.name},
            field="name",
        )


def _fill_surface(row: Surface, entry: Mapping[str, Any]) -> None:
    for name in SURFACE_COLUMNS:
        if name in entry:
            setattr(row, name, entry[name])
    row.build_up = entry.get("build_up", "")
    apart = {*SURFACE_COLUMNS, "id", "build_up", "openings", "regions"}
    row.facts = {name: value for name, value in entry.items() if name not in apart}


def _opening_row(surface: Surface, place: int, entry: Mapping[str, Any]) -> Opening:
    apart = {"id", "kind", "name"}
    return Opening(
        uid=_uid(entry),
        surface=surface,
        position=place,
        kind=entry.get("kind", ""),
        name=entry.get("name", ""),
        facts={name: value for name, value in entry.items() if name not in apart},
    )


def _region_row(surface: Surface, place: int, entry: Mapping[str, Any]) -> Region:
    apart = {"id", "kind", "name", "build_up"}
    return Region(
        uid=_uid(entry),
        surface=surface,
        position=place,
        kind=entry.get("kind", ""),
        name=entry.get("name", ""),
        build_up=entry.get("build_up", ""),
        facts={name: value for name, value in entry.items() if name not in apart},
    )


def _uid(entry: Mapping[str, Any]) -> uuid.UUID:
    """Return the id its maker gave it, or a new one."""
    try:
        return uuid.UUID(str(entry.get("id", "")))
    except ValueError:
        return uuid.uuid4()


def _within_surface(refusal: Refusal) -> Refusal:
    """Return the refusal with its path from the surface on."""
    _visit, mark, rest = refusal.field.rpartition("surfaces[")
    field = rest.partition("].")[2] if mark else refusal.field
    return type(refusal)(refusal.sentence, field=field)


@transaction.atomic
def remove_surface(*, surface: Surface, person: Person) -> None:
    """Take a surface out of its space."""
    visit = _locked(surface.space.visit, None)
    audit(
        action="remove surface",
        subject=f"visit {visit.pk}",
        person=person,
        facts={"name": surface.name, "facts": surface.facts},
    )
    surface.delete()
    check_visit(visit)


@transaction.atomic
def add_photo(
    *,
    visit: Visit,
    upload: UploadedFile[Any],
    person: Person,
    key: str,
    space: Space | None = None,
    note: str = "",
) -> VisitPhoto:
    """Keep a photo of the site; the same photo twice is one."""
    stored = keep_file(upload=upload, person=person)
    claim = once(
        key=key,
        purpose="add photo",
        person=person,
        payload={"visit": visit.pk, "file": stored.digest, "note": note},
    )
    if claim.outcome:
        return VisitPhoto.objects.get(pk=claim.outcome)
    photo = VisitPhoto(visit=visit, space=space, file=stored, note=note)
    saved(photo)
    claim.settle(photo.pk)
    return photo
