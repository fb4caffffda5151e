"""Which surfaces of a space meet along which edges, so that a corner counts once.

An edge that names what it meets meets that. Edges of kind wall that name nothing are
paired where it is plain: a wall's left edge with another's right edge, its foot with
a floor, its head with a ceiling, when the two were read within an inch of each other.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from materials.core.errors import Refusal
from materials.core.lengths import INCH, Length
from materials.core.outlines import side_length, sides_of
from quotes.core.errors import WrongSurface
from quotes.core.flights import is_flight
from quotes.core.surfaces import Outline
from quotes.core.visit import EdgeNote, Space, Surface

UPRIGHT = ("wall", "splashback", "niche", "reveal")
LEVEL = ("floor", "recess", "bench", "kerb", "steps")

NEAR = Length(INCH)
"""Two readings of one corner differ by less than this."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Meeting:
    """One edge of a surface and the surface it meets, by their places in the space.

    `edge` and `other_edge` count sides; `other_edge` is None where the other surface
    names no edge. `is_first` says that this surface stands first in the file.
    `runs_past` says that this surface is done before the other where both are at the
    same stage.
    """

    surface: int
    edge: int
    other: int
    other_edge: int | None
    is_first: bool
    runs_past: bool
    outside: bool = False


def meetings_of(
    space: Space, outlines: Sequence[Outline]
) -> dict[tuple[int, int], Meeting]:
    """Return the meeting of each edge that meets another surface of the space.

    Shape: by (surface, edge). Both sides of a pair are in it.
    Raises: WrongSurface for an edge that names a surface that is not there or itself.
    """
    pairs = _named(space, outlines)
    taken = {key for pair in pairs for key in pair if key[1] is not None}
    pairs += _plain(space, outlines, taken)
    found: dict[tuple[int, int], Meeting] = {}
    for one, two in pairs:
        _enter(found, one, two, outlines)
        _enter(found, two, one, outlines)
    return found


_Key = tuple[int, int | None]


def _enter(
    found: dict[tuple[int, int], Meeting],
    own: _Key,
    other: _Key,
    outlines: Sequence[Outline],
) -> None:
    if own[1] is None:
        return
    note = outlines[own[0]].edges[own[1]]
    theirs = EdgeNote() if other[1] is None else outlines[other[0]].edges[other[1]]
    found[own[0], own[1]] = Meeting(
        surface=own[0],
        edge=own[1],
        other=other[0],
        other_edge=other[1],
        is_first=own[0] < other[0],
        runs_past=_runs_past(own[0], other[0], note, theirs),
        outside=note.kind == "fold",
    )


def _runs_past(own: int, other: int, note: EdgeNote, theirs: EdgeNote) -> bool:
    if note.runs:
        return note.runs == "past"
    if theirs.runs:
        return theirs.runs == "to"
    return own < other


def _named(space: Space, outlines: Sequence[Outline]) -> list[tuple[_Key, _Key]]:
    places = {surface.id: index for index, surface in enumerate(space.surfaces)}
    pairs: list[tuple[_Key, _Key]] = []
    answered: set[tuple[int, int]] = set()
    for index, outline in enumerate(outlines):
        for edge, note in enumerate(outline.edges):
            if not note.meets or (index, edge) in answered:
                continue
            other = places.get(note.meets)
            if other is None or other == index:
                raise WrongSurface(
                    f"{space.surfaces[index].name} meets “{note.meets}”, which is no "
                    f"other surface of {space.name}; name one, or leave it out.",
                    field=f"edges[{edge}].meets",
                )
            back = _answer(index, edge, other, space.surfaces, outlines, answered)
            answered.add((index, edge))
            if back is not None:
                answered.add((other, back))
            pairs.append(((index, edge), (other, back)))
    return pairs


def _answer(
    index: int,
    edge: int,
    other: int,
    surfaces: Sequence[Surface],
    outlines: Sequence[Outline],
    answered: set[tuple[int, int]],
) -> int | None:
    """Return the other surface's edge of this corner.

    The one that names this surface back, else the nearest in length that names none
    and faces the right way.
    """
    own = _length(outlines[index], edge)
    free = [
        (abs(_length(outlines[other], back).ticks - own.ticks), back)
        for back, note in enumerate(outlines[other].edges)
        if (other, back) not in answered and note.meets == surfaces[index].id
    ]
    if not free:
        free = [
            (abs(_length(outlines[other], back).ticks - own.ticks), back)
            for back, note in enumerate(outlines[other].edges)
            if (other, back) not in answered
            and not note.meets
            and note.kind in ("wall", "fold")
            and _can_meet(surfaces, outlines, (index, edge), (other, back))
        ]
    return min(free)[1] if free else None


def _plain(
    space: Space, outlines: Sequence[Outline], taken: set[_Key]
) -> list[tuple[_Key, _Key]]:
    """Return the pairs that nobody named: nearest readings first, then file order."""
    edges = [
        (index, edge)
        for index, outline in enumerate(outlines)
        for edge, note in enumerate(outline.edges)
        if note.kind == "wall"
        and not note.meets
        and (index, edge) not in taken
        # A flight's outline is unrolled: its sides are no corners of the room.
        and not is_flight(space.surfaces[index])
    ]
    choices = sorted(
        (gap, one, two)
        for place, one in enumerate(edges)
        for two in edges[place + 1 :]
        if one[0] != two[0]
        and _can_meet(space.surfaces, outlines, one, two)
        and (gap := _gap(outlines, one, two)) <= NEAR.ticks
    )
    pairs: list[tuple[_Key, _Key]] = []
    used: set[tuple[int, int]] = set()
    for _, one, two in choices:
        if one not in used and two not in used:
            used |= {one, two}
            pairs.append((one, two))
    return pairs


def _gap(
    outlines: Sequence[Outline], one: tuple[int, int], two: tuple[int, int]
) -> int:
    return abs(
        _length(outlines[one[0]], one[1]).ticks
        - _length(outlines[two[0]], two[1]).ticks
    )


def _length(outline: Outline, edge: int) -> Length:
    return side_length(*sides_of(outline.ring)[edge])


_MEET = {
    ("left", "right"),
    ("right", "left"),
    ("foot", "floor"),
    ("floor", "foot"),
    ("head", "ceiling"),
    ("ceiling", "head"),
}


def _can_meet(
    surfaces: Sequence[Surface],
    outlines: Sequence[Outline],
    one: tuple[int, int],
    two: tuple[int, int],
) -> bool:
    return (_facing(surfaces, outlines, one), _facing(surfaces, outlines, two)) in _MEET


def _facing(
    surfaces: Sequence[Surface], outlines: Sequence[Outline], key: tuple[int, int]
) -> str:
    """Return which way an edge of a surface lies: left, right, foot, head and so on."""
    role = surfaces[key[0]].role
    if role == "ceiling":
        return "ceiling"
    if role not in UPRIGHT:
        return "floor"
    (x1, y1), (x2, y2) = sides_of(outlines[key[0]].ring)[key[1]]
    across, up = x2 - x1, y2 - y1
    if abs(across) >= abs(up):
        return "foot" if across > 0 else "head"
    return "right" if up > 0 else "left"


def refused_in(space: Space, surface: Surface, refusal: Refusal) -> Refusal:
    """Return a refusal that says in which space and surface it arose."""
    place = next(
        index for index, other in enumerate(space.surfaces) if other.id == surface.id
    )
    return refusal.at(f"surfaces[{place}]")
