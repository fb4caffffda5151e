"""A flight of stairs as a surface: its treads and risers unrolled into one strip.

A visit keeps a flight as a surface of the shape “stairs”: the rises as measured and
what is laid on them. Its outline is the strip that comes of laying risers and treads
one after another, from the bottom floor to the landing; each of them is a band of it,
with its own set-out, so that one tile, one order and one rack serve them all.
"""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

from materials.core.errors import Refusal
from materials.core.lengths import NOTHING, Length
from materials.core.outlines import Ring, rectangle
from quotes.core.stairs import LIMIT, Flight, Stairs, set_out_stairs
from quotes.core.typed import Typed
from quotes.core.visit import Region, Shape, Space, Surface

STAIRS = "stairs"
_FIELDS = {"risers": "rises"}
"""Where a field of the flight has another name in the visit file."""


def is_flight(surface: Surface) -> bool:
    """Return whether a surface is a flight of stairs."""
    return surface.shape.kind == STAIRS


def flight_of(shape: Shape) -> Flight:
    """Return the flight a shape of the kind “stairs” describes."""

    def size(name: str, default: Length = NOTHING) -> Length:
        typed = shape.sizes.get(name)
        return typed.length if typed else default

    return Flight(
        risers=tuple(typed.length for typed in shape.sides),
        bottom=size("bottom"),
        landing=size("landing"),
        tile=size("tile"),
        bed=size("bed"),
        riser=size("riser"),
        going=size("going"),
        nosing=size("nosing"),
        tread_first=shape.laid != "riser",
        limit=size("limit", LIMIT),
    )


def stairs_of(shape: Shape) -> Stairs:
    """Return the steps of a shape of the kind “stairs”.

    Raises: OutOfRange at the field of the shape.
    """
    try:
        return _set_out(flight_of(shape))
    except Refusal as refusal:
        field = _FIELDS.get(refusal.field, refusal.field)
        raise type(refusal)(refusal.sentence, field=f"shape.{field}") from refusal


@lru_cache(maxsize=64)
def _set_out(flight: Flight) -> Stairs:
    return set_out_stairs(flight)


def strip_ring(shape: Shape) -> Ring:
    """Return the outline of the unrolled flight, from the bottom floor upwards."""
    high = sum(height.ticks for _name, height in _bands(shape))
    return rectangle(0, 0, shape.sizes["width"].length.ticks, high)


def unrolled_space(space: Space) -> Space:
    """Return a space with each of its flights divided into risers and treads.

    Raises: OutOfRange with the path of the surface in its space.
    """
    surfaces = []
    for index, surface in enumerate(space.surfaces):
        try:
            surfaces.append(unrolled(surface) if is_flight(surface) else surface)
        except Refusal as refusal:
            raise refusal.at(f"surfaces[{index}]") from refusal
    return replace(space, surfaces=tuple(surfaces))


def unrolled(surface: Surface) -> Surface:
    """Return a flight with its risers and treads as bands, from below.

    Its use is stairs where nothing else is said, and each riser is one step of work.
    """
    bands, low = [], NOTHING
    for name, height in _bands(surface.shape):
        is_riser = name.startswith("riser")
        bands.append(
            Region(
                id=f"{surface.id}, {name}",
                kind="band",
                name=name,
                build_up=surface.shape.riser_build_up if is_riser else "",
                bottom=_typed(low),
                height=_typed(height),
            )
        )
        low += height
    return replace(
        surface,
        regions=tuple(bands),
        steps=len(surface.shape.sides),
        use=surface.use or STAIRS,
    )


def _bands(shape: Shape) -> list[tuple[str, Length]]:
    bands = []
    for step in stairs_of(shape).steps:
        bands.append((f"riser {step.number}", step.riser_piece))
        if step.tread_piece is not None:
            bands.append((f"tread {step.number}", step.tread_piece))
    return bands


def _typed(length: Length) -> Typed:
    return Typed(text=length.text("metric"), length=length)
