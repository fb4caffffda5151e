"""The sheet of a visit: every surface drawn, cautions, build-ups, photos."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any
from uuid import UUID

from django.utils import timezone
from django.utils.translation import gettext as _

from materials.core.errors import Refusal
from quotes.core.cautions import cautions_of
from quotes.core.takeoff import MeasuredSurface, Takeoff, take_off
from quotes.core.visit import Site
from quotes.models import Surface, Visit
from quotes.presenters.drawings import surface_svg
from quotes.presenters.words import ROLES
from quotes.queries.estimating import visit_record
from quotes.queries.visit_prices import visit_catalogue


@dataclass(frozen=True, slots=True, kw_only=True)
class SurfaceRow:
    """A surface on the visit's sheet."""

    uid: UUID
    name: str
    words: str
    svg: str = ""
    tiled: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class SpaceRow:
    """A space on the visit's sheet."""

    uid: UUID
    name: str
    times: int
    surfaces: tuple[SurfaceRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class NamedRow:
    """A name with words after it."""

    name: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoRow:
    """A photo of the site."""

    digest: str
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class VisitSheet:
    """Everything the page of a visit shows."""

    spaces: tuple[SpaceRow, ...]
    build_ups: tuple[NamedRow, ...]
    photos: tuple[PhotoRow, ...]
    cautions: tuple[str, ...] = ()
    refused: str = ""


def visit_sheet(visit: Visit) -> VisitSheet:
    """Return the sheet of a visit; what cannot be computed yet is said, not hidden."""
    refused, takeoff, site = "", None, Site()
    try:
        record = visit_record(visit)
        catalogue = visit_catalogue(record, timezone.localdate())
        takeoff, site = take_off(record, catalogue), record.site
    except Refusal as refusal:
        refused = refusal.sentence
    found = {row.id: row for row in takeoff.surfaces} if takeoff else {}
    return VisitSheet(
        spaces=_spaces(visit, found, _tiled(takeoff)),
        build_ups=tuple(
            NamedRow(name=row.name, words=_layer_words(row.layers))
            for row in visit.build_ups.all()
        ),
        photos=tuple(
            PhotoRow(digest=photo.file.digest, note=photo.note)
            for photo in visit.photos.select_related("file")
        ),
        cautions=_cautions(takeoff, site),
        refused=refused,
    )


def _cautions(takeoff: Takeoff | None, site: Site) -> tuple[str, ...]:
    """Return what to mind while measuring; what only labour calls for comes later."""
    if takeoff is None:
        return ()
    found = cautions_of(takeoff, lines=(), site=site)
    return tuple(dict.fromkeys(caution.sentence for caution in found))


def _tiled(takeoff: Takeoff | None) -> set[str]:
    """Return the ids of surfaces that some tile is set on."""
    layers = takeoff.layers if takeoff else ()
    return {one.surface_id for one in layers if one.role == "tile" and one.material}


def _layer_words(layers: list[dict[str, Any]]) -> str:
    return _("%(count)d layers") % {"count": len(layers)}


def _spaces(
    visit: Visit, found: dict[str, MeasuredSurface], tiled: set[str]
) -> tuple[SpaceRow, ...]:
    rows = []
    for space in visit.spaces.prefetch_related("surfaces"):
        surfaces = tuple(
            _surface_row(surface, found, tiled, visit.system)
            for surface in space.surfaces.all()
        )
        rows.append(
            SpaceRow(
                uid=space.uid, name=space.name, times=space.times, surfaces=surfaces
            )
        )
    return tuple(rows)


def _surface_row(
    surface: Surface,
    found: dict[str, MeasuredSurface],
    tiled: set[str],
    system: str,
) -> SurfaceRow:
    uid, name = surface.uid, surface.name
    word = str(dict(ROLES).get(surface.role, surface.role))
    measured = found.get(str(uid))
    if measured is None:
        return SurfaceRow(uid=uid, name=name, words=word)
    area = measured.net_area.text(system, places=2)
    return SurfaceRow(
        uid=uid,
        name=name,
        words=f"{word}, {area}",
        svg=surface_svg(measured, system=system, name=f"s{uid.hex[:12]}"),
        tiled=str(uid) in tiled,
    )
