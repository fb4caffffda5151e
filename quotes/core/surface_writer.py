"""Writes a surface as the document it was read from, lengths as they were typed."""

from __future__ import annotations

from collections.abc import Mapping

from quotes.core.pricelist_writer import number
from quotes.core.typed import Typed
from quotes.core.visit import (
    Drain,
    EdgeNote,
    Opening,
    Reading,
    Region,
    Shape,
    Surface,
)

Document = dict[str, object]


def surface_document(surface: Surface) -> Document:
    """Return the document of a surface, fields in the order of the form."""
    document: Document = {
        "id": surface.id,
        "name": surface.name,
        "role": surface.role,
        "shape": shape_document(surface.shape),
        "measured_to": surface.measured_to,
        "exposure": surface.exposure,
    }
    optional: Mapping[str, object] = {
        "build_up": surface.build_up,
        "use": surface.use,
        "times": surface.times if surface.times > 1 else None,
        "edges": [_edge(note) for note in surface.edges],
        "openings": [_opening(opening) for opening in surface.openings],
        "regions": [_region(region) for region in surface.regions],
        "readings": [_reading(reading) for reading in surface.readings],
        "heights": [
            {"x": spot.x.text, "y": spot.y.text, "height": spot.height.text}
            for spot in surface.heights
        ],
        "drain": _drain(surface.drain),
        "flat": [[_point(point) for point in outline] for outline in surface.flat],
        "slope": (
            {"min": number(surface.slope.least), "max": number(surface.slope.most)}
            if surface.slope
            else None
        ),
        "lowest": _text(surface.lowest),
        "steps": surface.steps or None,
        "notes": surface.notes,
        "pattern": dict(surface.pattern) or None,
    }
    return {**document, **_filled(optional)}


def _filled(fields: Mapping[str, object]) -> Document:
    return {
        name: value for name, value in fields.items() if value not in ("", None, [])
    }


def _text(value: Typed | None) -> str | None:
    return None if value is None else value.text


def _point(point: tuple[Typed, Typed]) -> list[str]:
    return [point[0].text, point[1].text]


def shape_document(shape: Shape) -> Document:
    """Return the document of an outline."""
    document: Document = {"kind": shape.kind}
    if shape.kind == "wall_of":
        document |= {"floor": shape.floor, "side": shape.side}
    if shape.kind == "stairs":
        document["rises"] = [rise.text for rise in shape.sides]
        document |= _filled(
            {
                "laid": shape.laid if shape.laid != "tread" else "",
                "riser_build_up": shape.riser_build_up,
            }
        )
    elif shape.sides:
        document["sides"] = [side.text for side in shape.sides]
    if shape.corners:
        document["corners"] = [number(corner) for corner in shape.corners]
    if shape.points:
        document["points"] = [_point(point) for point in shape.points]
    document |= {name: typed.text for name, typed in shape.sizes.items()}
    if shape.kind == "l":
        document["corner"] = shape.corner
    return document


def _edge(note: EdgeNote) -> object:
    if not note.meets and not note.runs:
        return note.kind
    return {
        "kind": note.kind,
        **_filled({"meets": note.meets, "runs": note.runs}),
    }


def _opening(opening: Opening) -> Document:
    return {
        "id": opening.id,
        "kind": opening.kind,
        **_filled({"name": opening.name}),
        "left": opening.left.text,
        "bottom": opening.bottom.text,
        "width": opening.width.text,
        "height": opening.height.text,
        **_filled(
            {
                "depth": _text(opening.depth),
                "lining": opening.lining,
                "trim": opening.trim or None,
                "times": opening.times if opening.times > 1 else None,
            }
        ),
    }


def _region(region: Region) -> Document:
    return {
        "id": region.id,
        "kind": region.kind,
        **_filled(
            {
                "name": region.name,
                "build_up": region.build_up,
                "left": _text(region.left),
                "bottom": _text(region.bottom),
                "width": _text(region.width),
                "height": _text(region.height),
                "corners": region.corners if region.corners != "mitred" else "",
                "joint": region.joint if region.joint != "joint" else "",
                "pattern": dict(region.pattern) or None,
            }
        ),
    }


def _reading(reading: Reading) -> Document:
    return {
        "side": reading.side,
        **_filled(
            {
                "low": _text(reading.low),
                "middle": _text(reading.middle),
                "high": _text(reading.high),
                "plumb": _text(reading.plumb),
            }
        ),
    }


def _drain(drain: Drain | None) -> Document | None:
    if drain is None:
        return None
    if drain.kind == "point" and drain.x and drain.y:
        return {"kind": "point", "at": _point((drain.x, drain.y))}
    return {
        "kind": drain.kind,
        "side": drain.side,
        **_filled({"from": _text(drain.start), "length": _text(drain.line)}),
    }
