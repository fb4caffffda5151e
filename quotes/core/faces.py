"""Moves a surface from the face that was measured to the face a layer needs.

Where two surfaces meet in an inside corner, each layer is shortened by what already
stands on the other: all of the stages before it, and the same stage too where the
other runs past. At an outside corner it grows by the same. A reading taken to the
board or to the finished face has those thicknesses in it already.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from materials.core.errors import Refusal
from materials.core.lengths import NOTHING, Length
from materials.core.need import MaterialFacts, Step
from materials.core.outlines import Ring, doubled_area, sides_of
from quotes.core.bearings import root, to_tick
from quotes.core.buildup import (
    BOARD_STAGE,
    LAST_STAGE,
    BuildUp,
    thickness_up_to,
)
from quotes.core.errors import WrongSurface
from quotes.core.geometry import check_ring
from quotes.core.joint_rules import PUBLISHED, JointRules
from quotes.core.neighbours import Meeting
from quotes.core.surfaces import Outline
from quotes.core.visit import Surface

_MEASURED_STAGE = {
    "framing": -1,
    "old_finish": -1,
    "board": BOARD_STAGE,
    "finished": LAST_STAGE,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Neighbour:
    """What an edge meets: the meeting, and the other surface's build-up if any."""

    meeting: Meeting
    name: str
    build_up: BuildUp | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """A surface as it stands: its outline, what each edge meets, and the price list."""

    surface: Surface
    outline: Outline
    neighbours: tuple[Neighbour | None, ...]
    catalogue: Mapping[str, MaterialFacts]
    build_ups: Mapping[str, BuildUp]
    system: str
    rules: JointRules = PUBLISHED["us"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Moved:
    """A surface's ring and openings at a face, with the working of each move."""

    ring: Ring
    holes: tuple[Ring, ...]
    steps: tuple[Step, ...]


def layer_face(standing: Standing, stage: int) -> Moved:
    """Return the surface as a layer of a stage finds it.

    Raises: WrongSurface when the build-up leaves nothing of it.
    """
    insets = [
        _inset(standing, edge, neighbour, stage, at_layer=True)
        for edge, neighbour in enumerate(standing.neighbours)
    ]
    return _moved(standing, insets, stage - 1)


def finished_face(standing: Standing, stage: int = LAST_STAGE) -> Moved:
    """Return the surface as it shows when all up to a stage is done everywhere."""
    insets = [
        _inset(standing, edge, neighbour, stage, at_layer=False)
        for edge, neighbour in enumerate(standing.neighbours)
    ]
    return _moved(standing, insets, stage)


def framing_face(standing: Standing) -> Moved:
    """Return the surface at the framing or old finish, before anything is added."""
    return finished_face(standing, -1)


def _inset(
    standing: Standing,
    edge: int,
    neighbour: Neighbour | None,
    stage: int,
    *,
    at_layer: bool,
) -> Length:
    """Return how far an edge moves inwards; below nothing it moves out."""
    if neighbour is None or neighbour.build_up is None:
        return NOTHING
    catalogue = standing.catalogue
    past = neighbour.meeting.runs_past
    outside = neighbour.meeting.outside
    reach = stage
    if at_layer and past != outside:
        reach = stage - 1
    there = thickness_up_to(neighbour.build_up, catalogue, stage=reach)
    measured = _MEASURED_STAGE[standing.surface.measured_to]
    read = thickness_up_to(neighbour.build_up, catalogue, stage=measured)
    move = there - read
    return -move if outside else move


def _moved(standing: Standing, insets: Sequence[Length], stage: int) -> Moved:
    surface = standing.surface
    ring = moved_ring(standing.outline.ring, [inset.ticks for inset in insets])
    try:
        if loses_a_side(standing.outline.ring, ring):
            raise WrongSurface("nothing is left")
        check_ring(ring, field="shape")
    except Refusal as refusal:
        raise WrongSurface(
            f"The build-ups round {surface.name} leave nothing of it; check sizes and "
            "thicknesses.",
            field="shape",
        ) from refusal
    steps = tuple(
        _step(standing, edge, inset) for edge, inset in enumerate(insets) if inset
    )
    return Moved(ring=ring, holes=_holes(standing, stage), steps=steps)


def _step(standing: Standing, edge: int, inset: Length) -> Step:
    neighbour = standing.neighbours[edge]
    name = neighbour.name if neighbour else ""
    way = "in" if inset > NOTHING else "out"
    size = inset if inset > NOTHING else -inset
    return Step(
        label=f"Side {edge + 1} of {standing.surface.name}, at {name}",
        formula="thickness that stands there, less what the reading has in it",
        result=f"{size.text(standing.system, denominator=64)} {way}",
    )


def _holes(standing: Standing, stage: int) -> tuple[Ring, ...]:
    """Return the openings, narrowed by their lining up to a stage."""
    left = min(x for x, _ in standing.outline.ring)
    bottom = min(y for _, y in standing.outline.ring)
    measured = _MEASURED_STAGE[standing.surface.measured_to]
    rings = []
    for opening in standing.surface.openings:
        lining = standing.build_ups.get(opening.lining)
        thick = 0
        if lining is not None:
            there = thickness_up_to(lining, standing.catalogue, stage=stage)
            read = thickness_up_to(lining, standing.catalogue, stage=measured)
            thick = (there - read).ticks
        x = left + opening.left.length.ticks
        y = bottom + opening.bottom.length.ticks
        width, height = opening.width.length.ticks, opening.height.length.ticks
        if width <= 2 * thick or height <= 2 * thick:
            raise WrongSurface(
                f"The lining fills the {opening.name or opening.kind} of "
                f"{standing.surface.name}; check sizes and thicknesses.",
                field="openings",
            )
        rings.append(
            (
                (x + thick, y + thick),
                (x + thick, y + height - thick),
                (x + width - thick, y + height - thick),
                (x + width - thick, y + thick),
            )
        )
    return tuple(rings)


def moved_ring(ring: Ring, insets: Sequence[int]) -> Ring:
    """Return a ring with each side moved inwards by its own distance, in ticks.

    Sides that run straight on with different moves keep their corner at the larger
    one's end of both.

    Rounds: a corner of slanting sides to the nearest tick, once; level and plumb
    sides are exact.
    Method: each corner is where the two moved sides meet.
    """
    if not any(insets):
        return ring
    lines = [
        _moved_line(start, end, inset)
        for (start, end), inset in zip(sides_of(ring), insets, strict=True)
    ]
    corners: list[tuple[int, int]] = []
    for index, corner in enumerate(ring):
        before, after = lines[index - 1], lines[index]
        met = _crossing(before, after)
        if met is None:
            corners += [_foot(before, corner), _foot(after, corner)]
        else:
            corners.append(met)
    return tuple(
        corner for index, corner in enumerate(corners) if corner != corners[index - 1]
    )


def loses_a_side(ring: Ring, moved: Ring) -> bool:
    """Return whether moving the sides used one of them up, or the whole ring.

    A side that is used up runs the other way afterwards.
    """
    if len(ring) != len(moved):
        return len(moved) < len(ring) or doubled_area(moved) <= 0
    return any(
        (x2 - x1) * (x4 - x3) + (y2 - y1) * (y4 - y3) <= 0
        for ((x1, y1), (x2, y2)), ((x3, y3), (x4, y4)) in zip(
            sides_of(ring), sides_of(moved), strict=True
        )
    )


_Line = tuple[int, int, Fraction]
"""a · x + b · y = c, the solid where it is greater."""


def _moved_line(start: tuple[int, int], end: tuple[int, int], inset: int) -> _Line:
    across, up = end[0] - start[0], end[1] - start[1]
    a, b = -up, across
    length = (
        Fraction(abs(across) + abs(up))
        if 0 in (across, up)
        else root(Fraction(across * across + up * up))
    )
    return a, b, a * start[0] + b * start[1] + inset * length


def _crossing(one: _Line, two: _Line) -> tuple[int, int] | None:
    (a, b, c), (d, e, f) = one, two
    spread = a * e - b * d
    if spread == 0:
        return None
    return to_tick((c * e - b * f) / spread), to_tick((a * f - c * d) / spread)


def _foot(line: _Line, point: tuple[int, int]) -> tuple[int, int]:
    """Return the point of a line nearest to a point."""
    a, b, c = line
    off = (c - a * point[0] - b * point[1]) / Fraction(a * a + b * b)
    return to_tick(point[0] + off * a), to_tick(point[1] + off * b)
