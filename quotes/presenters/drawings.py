"""Drawings of surfaces from the core's records, as typed so far or as stored."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _

from materials.core.drawing.records import Frame, Hole, SurfaceDrawing
from materials.core.drawing.style import SCREEN, Style
from materials.core.drawing.surface import draw_surface
from materials.core.errors import Refusal
from materials.core.lengths import Length
from materials.core.need import Step
from quotes.core.takeoff import FaceSizes, MeasuredSurface, take_off
from quotes.core.visit_file import read_visit
from quotes.models import Space
from quotes.queries.estimating import stored_file
from quotes.queries.surface_words import (
    sentence_on_page,
    size_typed,
    surface_entry,
)
from quotes.queries.visit_prices import visit_catalogue

FACE_OF = {
    "framing": "framing",
    "old_finish": "framing",
    "board": "board",
    "finished": "finished",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class FaceLine:
    """The size of a surface at one face, with how it was moved there."""

    name: str
    value: str
    steps: tuple[Step, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """A surface as drawn from what was typed, or why it cannot be drawn."""

    svg: str = ""
    words: str = ""
    refused: str = ""
    faces: tuple[FaceLine, ...] = ()


def drawn_as_typed(space: Space, values: Mapping[str, str], *, other: str) -> Drawn:
    """Return a surface drawn as typed so far; `other` is its id when it is stored.

    A build-up that cannot be computed yet does not stop the drawing: the shape is
    drawn, and the sentence stands under it. Before a size is typed nothing is drawn
    and nothing is refused: an empty page is no mistake.
    """
    if not values.get("shape") or not size_typed(values):
        return Drawn()
    entry = surface_entry(values)
    entry["id"] = other or "new"
    entry["name"] = entry["name"] or _("Surface")
    plain = stored_file(space.visit)
    for listed in plain["spaces"]:
        if listed["id"] == str(space.uid):
            rest = [row for row in listed["surfaces"] if row["id"] != other]
            listed["surfaces"] = [*rest, entry]
    try:
        found = _measured(plain, entry["id"])
    except Refusal as refusal:
        return _shape_alone(entry, plain, refusal)
    return _drawn(found, space.visit.system)


def _measured(plain: Mapping[str, Any], wanted: str) -> MeasuredSurface:
    visit = read_visit(plain)
    catalogue = visit_catalogue(visit, visit.measured_on)
    takeoff = take_off(visit, catalogue)
    return next(row for row in takeoff.surfaces if row.id == wanted)


def _shape_alone(
    entry: dict[str, Any], plain: dict[str, Any], refusal: Refusal
) -> Drawn:
    """Return the bare shape with the sentence of what is refused."""
    bare = _without_layers(entry)
    others = [
        row
        for space in plain["spaces"]
        for row in space["surfaces"]
        if row["id"] == entry["shape"].get("floor")
    ]
    floors = [
        {name: row[name] for name in ("id", "name", "role", "shape")} for row in others
    ]
    alone = {
        **plain,
        "spaces": [{"id": "space", "name": "space", "surfaces": [*floors, bare]}],
        "build_ups": {},
        "labour": [],
        "overrules": [],
        "terms": {},
    }
    try:
        found = _measured(alone, str(entry["id"]))
    except Refusal as shape_refusal:
        return Drawn(refused=sentence_on_page(shape_refusal))
    drawn = _drawn(found, "imperial" if plain["unit"] == "in" else "metric")
    return Drawn(svg=drawn.svg, words=drawn.words, refused=sentence_on_page(refusal))


def _without_layers(entry: Mapping[str, Any]) -> dict[str, Any]:
    """Return a surface as typed, without what its build-ups are named for."""
    bare: dict[str, Any] = {
        name: value
        for name, value in entry.items()
        if name in ("id", "name", "role", "shape", "openings", "measured_to", "edges")
    }
    bare["shape"] = {
        name: value
        for name, value in entry["shape"].items()
        if name != "riser_build_up"
    }
    bare["edges"] = [
        edge if isinstance(edge, str) else edge["kind"]
        for edge in entry.get("edges", [])
    ]
    return bare


def _drawn(found: MeasuredSurface, system: str) -> Drawn:
    area = found.net_area.text(system, places=2)
    words = _("net area %(area)s, outline %(outline)s") % {
        "area": area,
        "outline": found.perimeter.text(system),
    }
    if found.closing:
        words = f"{words}; {found.closing}"
    return Drawn(
        svg=surface_svg(found, system=system, name="typed", squared=True),
        words=words,
        faces=tuple(_face_line(face, system) for face in found.faces),
    )


def _face_line(face: FaceSizes, system: str) -> FaceLine:
    labels = {
        "framing": _("At the framing"),
        "board": _("At the board"),
        "finished": _("At the finished face"),
    }
    width, height = extent(face.outline)
    size = f"{Length(width).text(system)} × {Length(height).text(system)}"
    return FaceLine(
        name=labels.get(face.face, face.face),
        value=f"{size}, {face.area.text(system, places=2)}",
        steps=face.working,
    )


def extent(outline: Sequence[tuple[int, int]]) -> tuple[int, int]:
    """Return width and height of an outline's bounding box, in ticks."""
    across = [x for x, _y in outline]
    up = [y for _x, y in outline]
    return max(across) - min(across), max(up) - min(up)


def face_of(found: MeasuredSurface, name: str) -> FaceSizes:
    """Return a surface's sizes at one face; the last face where it has no such."""
    for face in found.faces:
        if face.face == name:
            return face
    return found.faces[-1]


def surface_svg(
    found: MeasuredSurface,
    *,
    system: str,
    name: str,
    squared: bool = False,
    style: Style = SCREEN,
    frame: Frame | None = None,
) -> str:
    """Return a surface drawn at the face that was measured."""
    face = face_of(found, FACE_OF[found.measured_to])
    holes = tuple(Hole(outline=_places(hole)) for hole in face.holes)
    width, height = extent(face.outline)
    sentence = _("%(name)s: %(width)s by %(height)s, %(openings)d openings.") % {
        "name": found.place,
        "width": Length(width).text(system),
        "height": Length(height).text(system),
        "openings": len(holes),
    }
    return draw_surface(
        SurfaceDrawing(
            name=name,
            sentence=sentence,
            outline=_places(face.outline),
            edges=tuple(edge.kind for edge in found.edges),
            holes=holes,
            squared=squared,
        ),
        frame or Frame(system=system, style=style),
    )


def _places(outline: Sequence[tuple[int, int]]) -> Any:
    return tuple((x, y) for x, y in outline)
