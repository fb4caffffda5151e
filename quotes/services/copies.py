"""Copies of a visit for another client: sizes stay, prices become today's."""

from __future__ import annotations

import uuid
from dataclasses import replace

from django.db import transaction

from materials.models import Person
from materials.services import audit, once
from quotes.models import BuildUp, Space, Surface, Visit
from quotes.services.visits import VisitEntry, make_visit


@transaction.atomic
def copy_visit(*, visit: Visit, entry: VisitEntry, person: Person, key: str) -> Visit:
    """Copy spaces, surfaces, build-ups and lines to a new visit.

    What was measured, chosen and typed by hand goes along; overrules do not, since
    they answered the figures of another day. Photos stay with the first client. A
    bare number keeps the unit it was read in, whatever the entry says.
    """
    claim = once(
        key=key,
        purpose="copy visit",
        person=person,
        payload={"visit": visit.pk, "entry": str(entry)},
    )
    if claim.outcome:
        return Visit.objects.get(pk=claim.outcome)
    entry = replace(entry, system=visit.system)
    copy = make_visit(entry=entry, person=person, key=f"{key[:58]}-visit")
    copy.copied_from = visit
    copy.facts = visit.facts
    copy.save(update_fields=["copied_from", "facts"])
    build_ups = [
        BuildUp(visit=copy, key=row.key, name=row.name, layers=row.layers)
        for row in visit.build_ups.all()
    ]
    BuildUp.objects.bulk_create(build_ups)
    for space in visit.spaces.prefetch_related(
        "surfaces__openings", "surfaces__regions"
    ):
        _copy_space(space, copy)
    for line in visit.hand_lines.all():
        line.pk, line.uid, line.visit = None, uuid.uuid4(), copy
        line.save(force_insert=True)
    for allowance in visit.allowances.all():
        allowance.pk, allowance.uid, allowance.visit = None, uuid.uuid4(), copy
        allowance.save(force_insert=True)
    audit(
        action="copy visit",
        subject=f"visit {copy.pk}",
        person=person,
        facts={"from": visit.pk},
    )
    claim.settle(copy.pk)
    return copy


def _copy_space(space: Space, copy: Visit) -> None:
    surfaces = list(space.surfaces.all())
    names = {str(surface.uid): surface for surface in surfaces}
    fresh = Space.objects.create(
        visit=copy, name=space.name, position=space.position, times=space.times
    )
    made = {uid: _copy_surface(surface, fresh) for uid, surface in names.items()}
    renamed = {uid: str(surface.uid) for uid, surface in made.items()}
    fresh.facts = _renamed(space.facts, renamed)
    fresh.save(update_fields=["facts"])
    for surface in made.values():
        surface.facts = _renamed(surface.facts, renamed)
    Surface.objects.bulk_update(made.values(), ["facts"])


def _copy_surface(surface: Surface, space: Space) -> Surface:
    fresh = Surface.objects.create(
        space=space,
        name=surface.name,
        position=surface.position,
        role=surface.role,
        times=surface.times,
        measured_to=surface.measured_to,
        exposure=surface.exposure,
        use=surface.use,
        build_up=surface.build_up,
        facts=surface.facts,
    )
    for opening in surface.openings.all():
        opening.pk, opening.uid, opening.surface = None, uuid.uuid4(), fresh
        opening.save(force_insert=True)
    for region in surface.regions.all():
        region.pk, region.uid, region.surface = None, uuid.uuid4(), fresh
        region.save(force_insert=True)
    return fresh


def _renamed(facts: object, names: dict[str, str]) -> object:
    """Return facts in which every id of a copied surface is the copy's id."""
    if isinstance(facts, dict):
        return {name: _renamed(value, names) for name, value in facts.items()}
    if isinstance(facts, list):
        return [_renamed(value, names) for value in facts]
    return names.get(facts, facts) if isinstance(facts, str) else facts
