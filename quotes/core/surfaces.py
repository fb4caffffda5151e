"""From a shape as measured to an outline in ticks, with its closing error.

An outline runs counter-clockwise from the lower left corner, x to the right and y up.
Corners that are multiples of 90 degrees are exact; others go to the nearest tick,
each once, from the unrounded place of the corner before.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction

from materials.core.errors import BadShape, Refusal
from materials.core.lengths import NOTHING, Length
from materials.core.need import Step
from materials.core.outlines import Ring, doubled_area, rectangle, side_length
from materials.core.quantities import decimal_text
from quotes.core.bearings import cosine_and_sine, root, to_tick
from quotes.core.errors import WrongSurface
from quotes.core.flights import strip_ring
from quotes.core.geometry import check_holes, check_ring
from quotes.core.typed import Typed
from quotes.core.visit import EdgeNote, Opening, Shape, Space, Surface

WALL = EdgeNote()


@dataclass(frozen=True, slots=True, kw_only=True)
class Outline:
    """The outline of a surface at the face that was measured.

    `edges` has one note a side. `closing` says in a sentence by how much the
    readings do not close, `closing_error` the distance; nothing is spread.
    """

    ring: Ring
    edges: tuple[EdgeNote, ...]
    closing: str = ""
    closing_error: Length = NOTHING
    steps: tuple[Step, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class _Drawn:
    """A ring with what did not close."""

    ring: Ring
    closing: str = ""
    error: Length = NOTHING
    steps: tuple[Step, ...] = ()


def measured_outline(surface: Surface, *, space: Space, system: str) -> Outline:
    """Return the outline of a surface as it was measured.

    Raises: BadShape for an outline that crosses itself or holds nothing; WrongSurface
    for readings that make no shape, edges that do not match the sides, an opening
    outside the outline.
    """
    drawn = _ring(surface, space, system)
    ring = drawn.ring
    if doubled_area(ring) < 0:
        ring = (ring[0], *reversed(ring[1:]))
    try:
        check_ring(ring, field="shape")
    except Refusal as refusal:
        raise BadShape(
            f"{surface.name}: {_lowered(refusal.sentence)}", field="shape"
        ) from refusal
    edges = _edge_notes(surface, space, len(ring))
    _check_openings(surface, ring)
    return Outline(
        ring=ring,
        edges=edges,
        closing=drawn.closing,
        closing_error=drawn.error,
        steps=(*drawn.steps, *_reading_steps(surface, system)),
    )


def _lowered(sentence: str) -> str:
    return sentence[:1].lower() + sentence[1:]


def _edge_notes(surface: Surface, space: Space, sides: int) -> tuple[EdgeNote, ...]:
    if not surface.edges:
        if surface.shape.kind == "wall_of":
            return _standing_edges(surface, space)
        return (WALL,) * sides
    if len(surface.edges) != sides:
        raise WrongSurface(
            f"{surface.name} has {sides} sides and {len(surface.edges)} edges; write "
            "one edge for each side, from the lower left, counter-clockwise.",
            field="edges",
        )
    return surface.edges


def _standing_edges(surface: Surface, space: Space) -> tuple[EdgeNote, ...]:
    """Return the edges of a wall on a floor: it meets the walls of the next sides.

    Seen from inside the room, the next side of the floor is on the left.
    """
    standing = {
        other.shape.side: other.id
        for other in space.surfaces
        if other.shape.kind == "wall_of" and other.shape.floor == surface.shape.floor
    }
    floor = _surface_of(space, surface.shape.floor)
    sides = len(_ring(floor, space, "metric").ring)
    side = surface.shape.side
    return (
        EdgeNote(kind="wall", meets=surface.shape.floor),
        EdgeNote(kind="wall", meets=standing.get((side - 1) % sides, "")),
        EdgeNote(kind="wall"),
        EdgeNote(kind="wall", meets=standing.get((side + 1) % sides, "")),
    )


def _surface_of(space: Space, identity: str) -> Surface:
    for surface in space.surfaces:
        if surface.id == identity:
            return surface
    raise WrongSurface(
        f"“{identity}” is no surface of {space.name}; name the floor the wall stands "
        "on.",
        field="shape.floor",
    )


def _check_openings(surface: Surface, ring: Ring) -> None:
    rings = tuple(opening_ring(opening, ring) for opening in surface.openings)
    for index, opening in enumerate(surface.openings):
        try:
            check_holes(ring, (rings[index],), field="openings")
        except Refusal as refusal:
            name = opening.name or opening.kind
            raise WrongSurface(
                f"The {name} does not lie inside {surface.name}; check its place and "
                "size, or take it off.",
                field=f"openings[{index}]",
            ) from refusal
    if len(rings) > 1:
        try:
            check_holes(ring, rings, field="openings")
        except Refusal as refusal:
            raise WrongSurface(
                f"Two openings of {surface.name} overlap; give them as one.",
                field=refusal.field,
            ) from refusal


def opening_ring(opening: Opening, ring: Ring) -> Ring:
    """Return the rectangle of an opening, measured from the outline's lower left."""
    left = min(x for x, _ in ring) + opening.left.length.ticks
    bottom = min(y for _, y in ring) + opening.bottom.length.ticks
    return rectangle(
        left,
        bottom,
        left + opening.width.length.ticks,
        bottom + opening.height.length.ticks,
    )


def _ring(surface: Surface, space: Space, system: str) -> _Drawn:
    shape = surface.shape
    if shape.kind == "wall_of":
        return _drawn_wall_of(surface, space, system)
    if shape.kind == "rectangle":
        return _drawn_rectangle(surface)
    return _DRAWERS[shape.kind](shape, system)


def _drawn_rectangle(surface: Surface) -> _Drawn:
    width = _largest(surface, (0, 2), surface.shape.sizes["width"].length)
    height = _largest(surface, (1, 3), surface.shape.sizes["height"].length)
    return _Drawn(ring=rectangle(0, 0, width.ticks, height.ticks))


def _readings(surface: Surface, sides: tuple[int, ...]) -> list[Length]:
    return [
        typed.length
        for reading in surface.readings
        if reading.side in sides
        for typed in (reading.low, reading.middle, reading.high)
        if typed is not None
    ]


def _largest(surface: Surface, sides: tuple[int, ...], stated: Length) -> Length:
    """Return the largest reading of a direction: the one that governs area."""
    return max([stated, *_readings(surface, sides)])


def _reading_steps(surface: Surface, system: str) -> tuple[Step, ...]:
    steps = []
    for reading in surface.readings:
        taken = _readings(surface, (reading.side,))
        if taken:
            steps.append(
                Step(
                    label=f"Side {reading.side + 1}, low, middle and high",
                    formula=", ".join(length.text(system) for length in taken),
                    result=(
                        f"{min(taken).text(system)} for fit, "
                        f"{max(taken).text(system)} for area"
                    ),
                )
            )
        if reading.plumb is not None and reading.plumb.length:
            steps.append(
                Step(
                    label=f"Side {reading.side + 1}, out of plumb or level",
                    result=reading.plumb.length.text(system),
                )
            )
    return tuple(steps)


def _drawn_wall_of(surface: Surface, space: Space, system: str) -> _Drawn:
    shape = surface.shape
    floor = _surface_of(space, shape.floor)
    if floor.shape.kind == "wall_of":
        raise WrongSurface(
            f"{surface.name} stands on {floor.name}, which is a wall; name a floor.",
            field="shape.floor",
        )
    ring = _ring(floor, space, system).ring
    if shape.side >= len(ring):
        raise WrongSurface(
            f"{floor.name} has {len(ring)} sides, numbered from 0; {surface.name} "
            f"asks for side {shape.side}.",
            field="shape.side",
        )
    start, end = ring[shape.side], ring[(shape.side + 1) % len(ring)]
    width = side_length(start, end)
    height = shape.sizes["height"].length
    step = Step(
        label=f"Width, side {shape.side + 1} of {floor.name}",
        result=width.text(system),
    )
    return _Drawn(ring=rectangle(0, 0, width.ticks, height.ticks), steps=(step,))


def _drawn_l(shape: Shape, system: str) -> _Drawn:
    width, height = _ticks(shape, "width"), _ticks(shape, "height")
    across, up = _ticks(shape, "cut_width"), _ticks(shape, "cut_height")
    _demand_cut(across < width and up < height)
    corners: Mapping[str, Ring] = {
        "lower_left": (
            (across, 0), (width, 0), (width, height), (0, height), (0, up),
            (across, up),
        ),
        "lower_right": (
            (0, 0), (width - across, 0), (width - across, up), (width, up),
            (width, height), (0, height),
        ),
        "upper_right": (
            (0, 0), (width, 0), (width, height - up), (width - across, height - up),
            (width - across, height), (0, height),
        ),
        "upper_left": (
            (0, 0), (width, 0), (width, height), (across, height),
            (across, height - up), (0, height - up),
        ),
    }  # fmt: skip
    return _Drawn(ring=corners[shape.corner])


def _drawn_u(shape: Shape, system: str) -> _Drawn:
    width, height = _ticks(shape, "width"), _ticks(shape, "height")
    left, across = _ticks(shape, "cut_left"), _ticks(shape, "cut_width")
    up = height - _ticks(shape, "cut_height")
    _demand_cut(left > 0 and left + across < width and up > 0)
    return _Drawn(
        ring=(
            (0, 0), (width, 0), (width, height), (left + across, height),
            (left + across, up), (left, up), (left, height), (0, height),
        )
    )  # fmt: skip


def _ticks(shape: Shape, name: str) -> int:
    return shape.sizes[name].length.ticks


def _demand_cut(fits: bool) -> None:
    if not fits:
        raise WrongSurface(
            "The piece cut out is as large as the whole; check its width and height.",
            field="shape.cut_width",
        )


def _drawn_polygon(shape: Shape, system: str) -> _Drawn:
    return _Drawn(ring=tuple((x.length.ticks, y.length.ticks) for x, y in shape.points))


def _drawn_run(shape: Shape, system: str) -> _Drawn:
    """Walk the sides; the last one closes the outline, and what it is out is said."""
    at = (Fraction(0), Fraction(0))
    heading = Fraction(0)
    corners: list[tuple[int, int]] = []
    for index, side in enumerate(shape.sides):
        corners.append((to_tick(at[0]), to_tick(at[1])))
        cosine, sine = cosine_and_sine(heading)
        at = (at[0] + side.length.ticks * cosine, at[1] + side.length.ticks * sine)
        if index < len(shape.corners):
            heading += 180 - shape.corners[index]
    across, up = Length(to_tick(at[0])), Length(to_tick(at[1]))
    error = side_length((0, 0), (across.ticks, up.ticks))
    return _Drawn(
        ring=tuple(corners),
        closing=_closing_words(shape, error, across, up, system),
        error=error,
    )


def _closing_words(
    shape: Shape, error: Length, across: Length, up: Length, system: str
) -> str:
    words = []
    if error:
        words.append(
            f"The sides end {error.text(system)} from where they began "
            f"({across.text(system)} across, {up.text(system)} up); the last side was "
            "drawn to close the outline, nothing was spread."
        )
    if len(shape.corners) == len(shape.sides):
        total = sum(shape.corners, start=Fraction(0))
        due = Fraction(180 * (len(shape.sides) - 2))
        if total != due:
            words.append(
                f"The corners add up to {decimal_text(total, places=2)}°, "
                f"not {decimal_text(due, places=2)}°."
            )
    return " ".join(words)


def _drawn_quadrilateral(shape: Shape, system: str) -> _Drawn:
    """Two triangles on the diagonal; a second diagonal checks them."""
    bottom, right, top, left = (Fraction(side.length.ticks) for side in shape.sides)
    diagonal = Fraction(shape.sizes["diagonal"].length.ticks)
    _demand_triangle(bottom, right, diagonal, "bottom and right side")
    _demand_triangle(top, left, diagonal, "top and left side")
    x = (bottom**2 + diagonal**2 - right**2) / (2 * bottom)
    y = root(diagonal**2 - x**2)
    along = (diagonal**2 + left**2 - top**2) / (2 * diagonal)
    off = root(left**2 - along**2)
    far = ((along * x - off * y) / diagonal, (along * y + off * x) / diagonal)
    ring = (
        (0, 0),
        (to_tick(bottom), 0),
        (to_tick(x), to_tick(y)),
        (to_tick(far[0]), to_tick(far[1])),
    )
    second = shape.sizes.get("second_diagonal")
    found = side_length(ring[1], ring[3])
    step = Step(
        label="Second diagonal",
        formula="from the four sides and the first diagonal",
        result=found.text(system),
    )
    if second is None:
        return _Drawn(ring=ring, steps=(step,))
    error = Length(abs(found.ticks - second.length.ticks))
    return _Drawn(
        ring=ring,
        closing=_diagonal_words(second, found, error, system),
        error=error,
        steps=(step,),
    )


def _diagonal_words(second: Typed, found: Length, error: Length, system: str) -> str:
    if not error:
        return ""
    return (
        f"The second diagonal was read {second.length.text(system)}; the other five "
        f"readings make it {found.text(system)}, {error.text(system)} apart."
    )


def _demand_triangle(a: Fraction, b: Fraction, c: Fraction, words: str) -> None:
    if not abs(a - b) < c < a + b:
        raise WrongSurface(
            f"A diagonal of that length cannot join the {words}; measure it again.",
            field="shape.diagonal",
        )


_DRAWERS: Mapping[str, Callable[[Shape, str], _Drawn]] = {
    "run": _drawn_run,
    "l": _drawn_l,
    "u": _drawn_u,
    "polygon": _drawn_polygon,
    "quadrilateral": _drawn_quadrilateral,
    "stairs": lambda shape, _system: _Drawn(ring=strip_ring(shape)),
}
