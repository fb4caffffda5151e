"""Divides a surface into regions and field, each with its sides and what they are.

A region is measured from the outline's lower left at the face that was measured; it
is cut from the surface at the face of each layer. What is left is the field.
"""

from __future__ import annotations

from dataclasses import dataclass

from materials.core.lengths import NOTHING, Length
from materials.core.outlines import (
    ABOVE,
    BELOW,
    Piece,
    Point,
    Ring,
    cut_along,
    holds,
    hole_ring,
    outline_ring,
    rectangle,
    side_length,
    sides_of,
    within,
    without_straight_corners,
)
from quotes.core.errors import WrongSurface
from quotes.core.faces import Moved, loses_a_side, moved_ring
from quotes.core.visit import Region, Surface

CUT = -1
"""The side of a part that is no side of the surface: it borders on another region."""


REGION_EDGE = "region"
"""An edge of a part that borders on another region of the same surface."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Side:
    """One side of a part: the surface's side it lies on (or CUT) and its length."""

    source: int
    length: Length


@dataclass(frozen=True, slots=True, kw_only=True)
class RegionPart:
    """One connected part of a region; `region` is None for the field."""

    region: Region | None
    piece: Piece
    sides: tuple[Side, ...]

    @property
    def name(self) -> str:
        """The region's name, empty for the field."""
        if self.region is None:
            return ""
        return self.region.name or self.region.kind.replace("_", " ")


def divided(surface: Surface, moved: Moved) -> tuple[RegionPart, ...]:
    """Return the parts of a surface, regions in order and then the field.

    Raises: WrongSurface for a region outside the surface, or a border that runs
    through an opening.
    """
    field = _whole(moved)
    parts: list[RegionPart] = []
    for index, region in enumerate(surface.regions):
        inside, field = _split(surface, region, field, moved.ring)
        if not inside:
            raise WrongSurface(
                f"The {region.name or region.kind.replace('_', ' ')} lies outside "
                f"{surface.name}, or where another region is; check its place.",
                field=f"regions[{index}]",
            )
        parts += [_part(region, piece, moved) for piece in inside]
    return (*parts, *(_part(None, piece, moved) for piece in field))


def check_regions(surface: Surface, ring: Ring, system: str) -> None:
    """Refuse a region that reaches past the surface as it was measured.

    Looked at once, at the face the tape lay on: at the face of a layer the surface is
    smaller by what was built on it, and a band up to the ceiling still is one.

    Raises: WrongSurface, naming the size.
    """
    wide = Length(max(x for x, _ in ring) - min(x for x, _ in ring))
    high = Length(max(y for _, y in ring) - min(y for _, y in ring))
    for index, region in enumerate(surface.regions):
        if region.kind == "border":
            continue
        name = region.name or region.kind.replace("_", " ")
        up = _ticks(region.height) + (
            0 if region.kind == "part_height" else _ticks(region.bottom)
        )
        for size, reach, whole in (
            ("height", Length(up), high),
            ("width", Length(_ticks(region.left) + _ticks(region.width)), wide),
        ):
            if reach > whole:
                raise WrongSurface(
                    f"The {name} reaches {reach.text(system)}, but {surface.name} "
                    f"ends at {whole.text(system)}; check its place and {size}.",
                    field=f"regions[{index}].{size}",
                )


def _whole(moved: Moved) -> tuple[Piece, ...]:
    """Return the surface with its openings: a notch where one lies on a side."""
    outline = outline_ring(moved.ring)
    holes: list[Ring] = []
    for hole in moved.holes:
        for part in _inside(hole, moved.ring):
            notched = _notched(outline, part)
            if notched is None:
                holes.append(hole_ring(part))
            else:
                outline = notched
    return (Piece(outline=outline, holes=tuple(holes)),)


def _inside(hole: Ring, ring: Ring) -> list[Ring]:
    """Return what of a rectangular opening lies inside the moved outline."""
    left, bottom = min(x for x, _ in hole), min(y for _, y in hole)
    right, top = max(x for x, _ in hole), max(y for _, y in hole)
    parts = within(
        (Piece(outline=outline_ring(ring)),),
        left=left,
        bottom=bottom,
        right=right,
        top=top,
    )
    return [part.outline for part in parts]


def _notched(outline: Ring, hole: Ring) -> Ring | None:
    """Return the outline with an opening that lies on one of its sides cut in."""
    clockwise = hole_ring(hole)
    for index, (start, end) in enumerate(sides_of(outline)):
        for place, side in enumerate(sides_of(clockwise)):
            if not _shared((start, end), side):
                continue
            entry = (place + 1) % len(clockwise)
            walk = (*clockwise[entry:], *clockwise[:entry])
            joined = (*outline[: index + 1], *walk, *outline[index + 1 :])
            return without_straight_corners(joined)
    return None


_Split = tuple[tuple[Piece, ...], tuple[Piece, ...]]


def _split(
    surface: Surface, region: Region, field: tuple[Piece, ...], ring: Ring
) -> _Split:
    left = min(x for x, _ in ring)
    bottom = min(y for _, y in ring)
    if region.kind == "border":
        return _border(surface, region, field)
    if region.kind in ("band", "part_height"):
        low = bottom + _ticks(region.bottom)
        high = low + _ticks(region.height)
        if region.kind == "part_height":
            low, high = bottom, bottom + _ticks(region.height)
        inside = within(field, bottom=low, top=high)
        above = cut_along(field, ABOVE, high)
        if region.kind == "part_height" and not region.build_up:
            return inside, ()
        return inside, (*cut_along(field, BELOW, low), *above)
    x, y = left + _ticks(region.left), bottom + _ticks(region.bottom)
    panel = rectangle(x, y, x + _ticks(region.width), y + _ticks(region.height))
    return _panel(field, panel)


def _ticks(typed: object) -> int:
    length = getattr(typed, "length", NOTHING)
    return length.ticks if isinstance(length, Length) else 0


def _panel(field: tuple[Piece, ...], panel: Ring) -> _Split:
    """Cut a rectangle out: a hole where it lies inside, else four strips remain."""
    (left, bottom), _, (right, top), _ = panel
    inside = within(field, left=left, bottom=bottom, right=right, top=top)
    rest: list[Piece] = []
    for piece in field:
        own = within((piece,), left=left, bottom=bottom, right=right, top=top)
        if not own:
            rest.append(piece)
        elif _lies_within(panel, piece):
            hidden = [hole for hole in piece.holes if not _ring_in(hole, panel)]
            rest.append(Piece(outline=piece.outline, holes=(*hidden, hole_ring(panel))))
        else:
            rest += within((piece,), right=left)
            rest += within((piece,), left=right)
            rest += within((piece,), left=left, right=right, top=bottom)
            rest += within((piece,), left=left, right=right, bottom=top)
    return inside, tuple(rest)


def _lies_within(panel: Ring, piece: Piece) -> bool:
    """Return whether a rectangle lies clear inside, no hole crossing its sides."""
    (left, bottom), _, (right, top), _ = panel
    for x, y in piece.outline:
        if left <= x <= right and bottom <= y <= top:
            return False
    if any(_side_crosses(side, panel) for side in sides_of(piece.outline)):
        return False
    for hole in piece.holes:
        if _ring_in(hole, panel):
            continue
        low = min(x for x, _ in hole), min(y for _, y in hole)
        high = max(x for x, _ in hole), max(y for _, y in hole)
        apart = low[0] >= right or high[0] <= left or low[1] >= top or high[1] <= bottom
        if not apart:
            return False
    return all(holds(piece.outline, corner) for corner in panel)


def _side_crosses(side: tuple[Point, Point], panel: Ring) -> bool:
    """Return whether the rectangle round a side meets the panel: safe, not sharp."""
    (left, bottom), _, (right, top), _ = panel
    (x1, y1), (x2, y2) = side
    return not (
        max(x1, x2) < left
        or min(x1, x2) > right
        or max(y1, y2) < bottom
        or min(y1, y2) > top
    )


def _ring_in(ring: Ring, panel: Ring) -> bool:
    return all(holds(panel, corner) for corner in ring)


def _border(surface: Surface, region: Region, field: tuple[Piece, ...]) -> _Split:
    inside: list[Piece] = []
    rest: list[Piece] = []
    width = _ticks(region.width)
    for piece in field:
        inner = moved_ring(piece.outline, [width] * len(piece.outline))
        if loses_a_side(piece.outline, inner):
            raise WrongSurface(
                f"The border is as wide as {surface.name}; make it narrower.",
                field="regions",
            )
        own = [hole for hole in piece.holes if _ring_in(hole, inner)]
        other = [hole for hole in piece.holes if hole not in own]
        if any(holds(inner, corner) for hole in other for corner in hole):
            raise WrongSurface(
                f"An opening of {surface.name} lies across its border; make the border "
                "narrower or cut the opening out of both.",
                field="regions",
            )
        inside.append(Piece(outline=piece.outline, holes=(*other, hole_ring(inner))))
        rest.append(Piece(outline=inner, holes=tuple(own)))
    return tuple(inside), tuple(rest)


def _part(region: Region | None, piece: Piece, moved: Moved) -> RegionPart:
    return RegionPart(
        region=region, piece=piece, sides=_sides(piece.outline, moved.ring)
    )


def _sides(ring: Ring, source: Ring) -> tuple[Side, ...]:
    origin = sides_of(source)
    return tuple(
        Side(
            source=next(
                (index for index, side in enumerate(origin) if _on(side, start, end)),
                CUT,
            ),
            length=side_length(start, end),
        )
        for start, end in sides_of(ring)
    )


def _on(side: tuple[Point, Point], start: Point, end: Point) -> bool:
    """Return whether a side lies on another one, a tick of rounding allowed."""
    (x1, y1), (x2, y2) = side
    long = max(abs(x2 - x1), abs(y2 - y1))
    for x, y in (start, end):
        off = (x2 - x1) * (y - y1) - (y2 - y1) * (x - x1)
        if abs(off) > 2 * long:
            return False
        if not (min(x1, x2) - 1 <= x <= max(x1, x2) + 1):
            return False
        if not (min(y1, y2) - 1 <= y <= max(y1, y2) + 1):
            return False
    return True


def _shared(one: tuple[Point, Point], two: tuple[Point, Point]) -> int:
    """Return the length two level or plumb sides have in common, in ticks."""
    (x1, y1), (x2, y2) = one
    (x3, y3), (x4, y4) = two
    if x1 == x2 == x3 == x4:
        low, high = max(min(y1, y2), min(y3, y4)), min(max(y1, y2), max(y3, y4))
        return max(0, high - low)
    if y1 == y2 == y3 == y4:
        low, high = max(min(x1, x2), min(x3, x4)), min(max(x1, x2), max(x3, x4))
        return max(0, high - low)
    return 0


def free_pieces(hole: Ring, ring: Ring) -> list[Length]:
    """Return the sides of an opening, less where they lie on the outline."""
    pieces = []
    for side in sides_of(hole):
        shared = sum(_shared(side, other) for other in sides_of(ring))
        left = side_length(*side) - Length(shared)
        if left > NOTHING:
            pieces.append(left)
    return pieces
