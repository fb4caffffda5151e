"""Set-outs that run through: courses round all walls, joints on into the floor.

The surfaces of one space that take the same tile in straight rows share axes: every
wall the height of its courses, a floor and the wall on one of its sides the joints that
run from one into the other. Each axis gets the line that leaves the largest smallest
cut over all of its edges: corners, niches, windows. Taken is that the walls stand on
one level, as their sizes do; a floor is linked where its sides say which wall they
meet.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from materials.core.lengths import INCH, MM
from materials.core.need import MaterialFacts
from materials.core.quantities import half_up
from quotes.core.layout.counting import count
from quotes.core.layout.lines import Edge, Row, best_line, edges_of
from quotes.core.layout.orders import Ordering
from quotes.core.layout.records import Rules, SetOut, Tally
from quotes.core.layout.reuse import ItemPlan, cut_plan
from quotes.core.layout.setout import SYMMETRICAL
from quotes.core.mosaic_counts import is_mosaic
from quotes.core.pattern import Lattice
from quotes.core.patterns import pattern_named
from quotes.core.set_out_choices import own_origin, part_surface
from quotes.core.taken import LayerUse
from quotes.core.tile_counts import found_set_out, lattice_for, number_of, summed
from quotes.core.tile_orders import ordered_item, ordering_for
from quotes.core.visit import Space, Surface

GRAIN = {"metric": MM // 10, "imperial": INCH // 16}
"""What chalk lines are rounded to: what a length is printed to, and read back as."""


SLACK = MM // 4
"""Cuts no wider are none: chalk lines are rounded, and no saw follows them so far."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """One part: its chalk lines from its lower left, its narrowest strip of tile."""

    part: LayerUse
    across: int
    up: int
    narrowest: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Through:
    """Parts set out together, beside how they stand now.

    `narrowest` is the narrowest strip of tile beside any edge, an opening's too, where
    the pieces round its corners are wider. `tiles` and `tiles_now` are what is ordered
    for all of them, `cuts` the positions that are cut. `joins_floor` says that joints
    run on into a floor.
    """

    parts: tuple[Standing, ...]
    narrowest: int
    narrowest_now: int
    tiles: int
    tiles_now: int
    cuts: int
    cuts_now: int
    joins_floor: bool
    stands: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class _Place:
    """How a part stands on an axis: its number, which of its own directions it is.

    A point of the axis lies at `nought` + its way from the part's lower left, or at
    `nought` − it where the part is seen the other way round.
    """

    part: int
    direction: int
    nought: int
    mirrored: bool = False


@dataclass(slots=True)
class _Axis:
    """Edges of one part or several on one axis."""

    row: Row
    edges: list[Edge] = field(default_factory=list)
    places: list[_Place] = field(default_factory=list)

    def stand(self, part: LayerUse, place: _Place) -> None:
        """Add a part's edges."""
        self.places.append(place)
        low, _high = _reach(part, place.direction)
        for edge in edges_of(part.outline, part.holes, axis=place.direction):
            way = edge.at - low
            at = place.nought - way if place.mirrored else place.nought + way
            self.edges.append(Edge(at, begins=edge.begins != place.mirrored))

    def begins_at(self, place: _Place, line: int) -> int:
        """Return where a tile begins, from a part's lower left, for the axis' line."""
        if place.mirrored:
            # Seen the other way round a tile begins where it ended.
            return place.nought - line - self.row.tile
        return line - place.nought


def set_out_through(
    parts: Sequence[LayerUse],
    space: Space,
    catalogue: Mapping[str, MaterialFacts],
    *,
    system: str,
    ordering: Ordering,
) -> tuple[Through, ...]:
    """Return what can be set out together in a space, one entry a tile.

    Shape: only tiles that two parts or more take in straight rows, one of them a wall.
    Raises: what `lattice_for` raises for a tile the pattern does not take.
    """
    roles = {surface.id: surface for surface in space.surfaces}
    groups: dict[tuple[str, int], list[LayerUse]] = {}
    for part in parts:
        surface = roles.get(part.surface_id)
        if part.region_id or surface is None or surface.role not in ("wall", "floor"):
            continue
        tile = part.tile
        if tile and straight_rows(part, catalogue[part.material]) is not None:
            groups.setdefault((part.material, tile.joint.ticks), []).append(part)
    found = []
    for (material, _joint), group in groups.items():
        walls = [part for part in group if roles[part.surface_id].role == "wall"]
        if len(group) > 1 and walls:
            own = ordering_for(catalogue[material], {}, ordering)
            found.append(_together(group, roles, catalogue[material], system, own))
    return tuple(found)


def straight_rows(part: LayerUse, material: MaterialFacts) -> tuple[Row, Row] | None:
    """Return the rows of a part across and up; None where they are not straight."""
    tile, wish = part.tile, part.pattern
    name = str(wish.get("name", "stack"))
    if tile is None or is_mosaic(tile) or number_of(wish.get("angle", 0)):
        return None
    if name not in ("stack", "running_bond"):
        return None
    length, width, joint = tile.length.ticks, tile.width.ticks, tile.joint.ticks
    shifts: tuple[int, ...] = (0,)
    if name == "running_bond":
        offset = number_of(wish.get("offset", 0))
        steps = 2 if wish.get("returning") is True else offset.denominator
        shifts = tuple(
            int(half_up((length + joint) * (offset * step % 1)))
            for step in range(steps)
        )
    return (
        Row(tile=length, joint=joint, shifts=shifts, slack=SLACK),
        Row(tile=width, joint=joint, slack=SLACK),
    )


def _together(
    group: Sequence[LayerUse],
    surfaces: Mapping[str, Surface],
    material: MaterialFacts,
    system: str,
    ordering: Ordering,
) -> Through:
    axes = _axes(group, surfaces, material)
    at = _chalk_lines(axes, GRAIN[system])
    rules = Rules(directional=material.facts.get("directional") is True)
    now = [_standing(part, rules, system) for part in group]
    lines = [(at[number, 0], at[number, 1]) for number in range(len(group))]
    tallies = [
        _moved(part, rules, line) for part, line in zip(group, lines, strict=True)
    ]
    then, before = _planned(tallies, group, rules), _planned(now, group, rules)
    return Through(
        parts=tuple(
            Standing(
                part=part, across=x, up=y, narrowest=narrowest(part, tally, material)
            )
            for part, (x, y), tally in zip(group, lines, tallies, strict=True)
        ),
        narrowest=_least(group, tallies, material),
        narrowest_now=_least(group, now, material),
        tiles=ordered_item(then, ordering).needed,
        tiles_now=ordered_item(before, ordering).needed,
        cuts=then.cut,
        cuts_now=before.cut,
        joins_floor=any(
            surfaces[group[axis.places[0].part].surface_id].role == "floor"
            for axis in axes
            if len(axis.places) > 1
        ),
        stands=[one.set_out for one in now] == [one.set_out for one in tallies],
    )


def _chalk_lines(axes: Sequence[_Axis], grain: int) -> dict[tuple[int, int], int]:
    """Return where a tile of each part begins in each direction, to the grain."""
    found: dict[tuple[int, int], int] = {}
    for axis in axes:
        line = best_line(axis.row, axis.edges).at
        for place in axis.places:
            step = Fraction(axis.begins_at(place, line) % axis.row.module, grain)
            found[place.part, place.direction] = int(half_up(step)) * grain
    return found


def _axes(
    group: Sequence[LayerUse],
    surfaces: Mapping[str, Surface],
    material: MaterialFacts,
) -> list[_Axis]:
    """Return every axis with the parts that stand on it.

    Walls share the height of their courses. A floor shares each of its axes with the
    walls that stand on it, where their tiles run alike; all else has its own.
    """
    rows = {
        number: own
        for number, part in enumerate(group)
        if (own := straight_rows(part, material)) is not None
    }
    roles = [surfaces[part.surface_id].role for part in group]
    found, joined = [], set[int]()
    for number in (at for at, role in enumerate(roles) if role == "floor"):
        for direction in (0, 1):
            axis = _Axis(row=rows[number][direction])
            axis.stand(group[number], _own(group[number], number, direction))
            found.append(axis)
            for wall, mirrored in _walls_on(number, direction, group, surfaces):
                if wall in joined or rows[wall][0] != axis.row or not _is_even(axis):
                    continue
                joined.add(wall)
                axis.stand(
                    group[wall],
                    _hung(group[number], direction, group[wall], wall, mirrored),
                )
    courses: dict[Row, _Axis] = {}
    for number in (at for at, role in enumerate(roles) if role == "wall"):
        part = group[number]
        if number not in joined:
            across = _Axis(row=rows[number][0])
            across.stand(part, _own(part, number, 0))
            found.append(across)
        course = courses.setdefault(rows[number][1], _Axis(row=rows[number][1]))
        course.stand(part, _own(part, number, 1))
    return [*found, *courses.values()]


def _reach(part: LayerUse, direction: int) -> tuple[int, int]:
    along = [corner[direction] for corner in part.outline]
    return min(along), max(along)


def _own(part: LayerUse, number: int, direction: int) -> _Place:
    """Return a part on an axis of its own: nought is where its sizes are taken from."""
    low, _high = _reach(part, direction)
    return _Place(part=number, direction=direction, nought=low)


def _hung(
    floor: LayerUse, direction: int, wall: LayerUse, number: int, mirrored: bool
) -> _Place:
    """Return a wall on an axis of the floor, middle on middle."""
    low, high = _reach(floor, direction)
    left, right = _reach(wall, 0)
    wide = right - left
    nought = (low + high + wide) // 2 if mirrored else (low + high - wide) // 2
    return _Place(part=number, direction=0, nought=nought, mirrored=mirrored)


def _is_even(axis: _Axis) -> bool:
    """Return whether the rows are moved alike seen from the other side."""
    module = axis.row.module
    moves = {shift % module for shift in axis.row.shifts}
    return all(
        any(abs((-move - other) % module) in (0, 1, module - 1) for other in moves)
        for move in moves
    )


def _walls_on(
    number: int,
    direction: int,
    group: Sequence[LayerUse],
    surfaces: Mapping[str, Surface],
) -> list[tuple[int, bool]]:
    """Return the walls on the sides of a floor along a direction, and whether mirrored.

    Who stands in the room and looks at the wall over the floor's far side sees x run
    as on the floor; over the near side, the other way. Floors of four sides only.
    """
    floor = group[number]
    notes = surfaces[floor.surface_id].edges
    corners = floor.outline
    if len(corners) != 4 or len(notes) != 4:
        return []
    numbers = {part.surface_id: at for at, part in enumerate(group)}
    found = []
    for side, (first, second) in enumerate(
        zip(corners, (*corners[1:], corners[0]), strict=True)
    ):
        run = second[direction] - first[direction]
        rise = second[1 - direction] - first[1 - direction]
        wall = numbers.get(notes[side].meets)
        if wall is None or abs(run) <= abs(rise):
            continue
        # The outline runs counter-clockwise: a wall's left is where its side ends.
        found.append((wall, run > 0))
    return found


def _standing(part: LayerUse, rules: Rules, system: str) -> Tally:
    """Return a part as it is set out now."""
    lattice, origin = _lattice(part), part.pattern.get("origin", SYMMETRICAL)
    surface = part_surface(part)
    if isinstance(origin, str):
        return found_set_out(surface, lattice, rules, Fraction(0), origin)
    return count(surface, lattice, own_origin(part, origin, system), rules)


def _moved(part: LayerUse, rules: Rules, line: tuple[int, int]) -> Tally:
    left, bottom = _reach(part, 0)[0], _reach(part, 1)[0]
    set_out = SetOut(origin=(left + line[0], bottom + line[1]))
    return count(part_surface(part), _lattice(part), set_out, rules)


def _lattice(part: LayerUse) -> Lattice:
    if part.tile is None:  # pragma: no cover - only tiled parts come here
        raise AssertionError(part.place)
    pattern = pattern_named(str(part.pattern.get("name", "stack")))
    return lattice_for(pattern, part.tile, part.pattern)


def _planned(
    tallies: Sequence[Tally], group: Sequence[LayerUse], rules: Rules
) -> ItemPlan:
    """Return the figures of all parts together, each as often as it stands.

    Offcuts are pooled where all parts stand equally often, as a takeoff does.
    """
    alike = dict[tuple[int, str], list[Tally]]()
    for tally, part in zip(tallies, group, strict=True):
        wish = {key: value for key, value in part.pattern.items() if key != "origin"}
        key = part.times, repr(sorted(wish.items(), key=str))
        alike.setdefault(key, []).append(tally)
    return summed(
        [
            (cut_plan(some, rules, certify=False).items[0], times)
            for (times, _wish), some in alike.items()
        ]
    )


def narrowest(part: LayerUse, tally: Tally, material: MaterialFacts) -> int:
    """Return the narrowest strip of tile beside any straight edge of a set-out part.

    Raises: AssertionError for a part that is not laid in straight rows.
    """
    rows = straight_rows(part, material)
    if rows is None:  # pragma: no cover - only straight rows come here
        raise AssertionError(part.place)
    return min(
        row.smallest(
            edges_of(part.outline, part.holes, axis=axis), tally.set_out.origin[axis]
        )
        for axis, row in enumerate(rows)
    )


def _least(
    group: Sequence[LayerUse], tallies: Sequence[Tally], material: MaterialFacts
) -> int:
    return min(
        narrowest(part, tally, material)
        for part, tally in zip(group, tallies, strict=True)
    )
