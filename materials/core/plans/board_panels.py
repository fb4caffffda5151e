"""Surfaces split into panels from the lower left, and as walls whose seams can move."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from materials.core.cutting.records import Piece
from materials.core.cutting.seams import Wall
from materials.core.lengths import Length
from materials.core.need import Extent
from materials.core.outlines import Piece as Part
from materials.core.outlines import Ring, within
from materials.core.working import bounds_of, is_rectangle


@dataclass(frozen=True, slots=True, kw_only=True)
class Panel:
    """A rectangle of board to be cut, so many times, and where it goes.

    `left` and `bottom` are its corner on the surface, in ticks.
    """

    place: str
    width: Length
    height: Length
    count: int = 1
    left: int = 0
    bottom: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """What boards must know of an extent, and nothing else: plans are kept by it."""

    place: str
    outline: Ring
    holes: tuple[Ring, ...] = ()
    times: int = 1


def field_of(extent: Extent) -> Field:
    """Return what boards must know of an extent."""
    return Field(
        place=extent.place,
        outline=extent.outline,
        holes=extent.holes,
        times=extent.times,
    )


def panels_of(
    extent: Extent | Field, sheet_width: Length, sheet_length: Length
) -> list[Panel]:
    """Return the panels one extent is split into, with its repeats in the count.

    The sheet lies one way over the whole extent, from the lower left; each panel is
    the rectangle round what of the extent lies in its field. The way with fewer
    panels is taken, sheets upright where both are alike.
    """
    upright = _split(extent, sheet_width, sheet_length)
    lying = _split(extent, sheet_length, sheet_width)
    return min((upright, lying), key=len)


def _split(extent: Extent | Field, across: Length, upright: Length) -> list[Panel]:
    whole = Part(outline=extent.outline, holes=extent.holes)
    left = min(x for x, _ in extent.outline)
    bottom = min(y for _, y in extent.outline)
    width, height = bounds_of(extent.outline)
    return [
        Panel(
            place=extent.place,
            width=Length(box[2]),
            height=Length(box[3]),
            count=extent.times,
            left=box[0],
            bottom=box[1],
        )
        for x in range(0, width.ticks, across.ticks)
        for y in range(0, height.ticks, upright.ticks)
        for box in _boxes_inside(
            whole, left + x, bottom + y, across.ticks, upright.ticks
        )
    ]


def _boxes_inside(
    whole: Part, left: int, bottom: int, across: int, upright: int
) -> list[tuple[int, int, int, int]]:
    parts = within(
        (whole,), left=left, bottom=bottom, right=left + across, top=bottom + upright
    )
    boxes = []
    for part in parts:
        width, height = bounds_of(part.outline)
        boxes.append(
            (
                min(x for x, _ in part.outline),
                min(y for _, y in part.outline),
                width.ticks,
                height.ticks,
            )
        )
    return boxes


def cut_pieces(panels: Sequence[Panel]) -> list[Piece]:
    """Return the panels as pieces to cut, in their order."""
    return [
        Piece(
            name=f"Part {index + 1}, {panel.place}",
            width=panel.width.ticks,
            height=panel.height.ticks,
            count=panel.count,
        )
        for index, panel in enumerate(panels)
    ]


def has_free_seams(field: Field, short: Length) -> bool:
    """Return whether seams can be chosen: a rectangle, its openings small."""
    if not is_rectangle(field.outline):
        return False
    return all(max(bounds_of(hole)) < short for hole in field.holes)


def walls_of(field: Field, name: str) -> list[Wall]:
    """Return a field as walls of its own size, one for each repeat."""
    width, height = bounds_of(field.outline)
    left = min(x for x, _ in field.outline)
    bottom = min(y for _, y in field.outline)
    whole = tuple(
        (
            min(x for x, _ in hole) - left,
            min(y for _, y in hole) - bottom,
            *(size.ticks for size in bounds_of(hole)),
        )
        for hole in field.holes
    )
    return [
        Wall(
            name=f"{name}, {number + 1}" if field.times > 1 else name,
            width=width.ticks,
            height=height.ticks,
            whole=whole,  # type: ignore[arg-type]
        )
        for number in range(field.times)
    ]
