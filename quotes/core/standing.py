"""All surfaces of a visit as they stand: outline, neighbours, build-up, repeats."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from materials.core.errors import Refusal
from materials.core.need import MaterialFacts
from quotes.core.buildup import BuildUp
from quotes.core.errors import NoBuildUp, WrongSurface
from quotes.core.faces import Neighbour, Standing
from quotes.core.flights import is_flight, unrolled_space
from quotes.core.neighbours import Meeting, meetings_of
from quotes.core.regions import check_regions
from quotes.core.surfaces import Outline, measured_outline
from quotes.core.visit import Region, Space, Surface, Visit


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """One surface in its space.

    `path` is where it stands in the visit file. `others` are the roles of layers on
    each surface of the space, by place: a shared corner goes to the first surface
    that has the layer asked about.
    """

    path: str
    place: str
    space: Space
    index: int
    standing: Standing
    meetings: Mapping[int, Meeting]
    times: int
    others: tuple[frozenset[str], ...]

    @property
    def surface(self) -> Surface:
        """The surface as it was measured."""
        return self.standing.surface

    @property
    def outline(self) -> Outline:
        """Its outline at the measured face."""
        return self.standing.outline

    def build_up_of(self, region: Region | None) -> BuildUp | None:
        """Return the build-up of a region, or of the field, or None."""
        key = (region.build_up if region else "") or self.surface.build_up
        return self.standing.build_ups.get(key) if key else None

    def counts_corner(self, edge: int, role: str) -> bool:
        """Return whether a shared corner is counted here, for layers of a role.

        Each is counted once: with the surface that stands first in the file, unless
        only the other one has such a layer.
        """
        meeting = self.meetings.get(edge)
        if meeting is None:
            return False
        return meeting.is_first or role not in self.others[meeting.other]


def placed_surfaces(
    visit: Visit, catalogue: Mapping[str, MaterialFacts]
) -> tuple[Placed, ...]:
    """Return every surface of a visit, in the order of the file.

    Raises: BadShape, WrongSurface, NoBuildUp, with the path of the surface.
    """
    placed: list[Placed] = []
    for index, space in enumerate(visit.spaces):
        try:
            placed += _placed_in(visit, space, f"spaces[{index}]", catalogue)
        except Refusal as refusal:
            raise refusal.at(f"spaces[{index}]") from refusal
    return tuple(placed)


def _placed_in(
    visit: Visit, space: Space, path: str, catalogue: Mapping[str, MaterialFacts]
) -> list[Placed]:
    space = unrolled_space(space)
    outlines: list[Outline] = []
    for index, surface in enumerate(space.surfaces):
        _check_build_ups(visit, surface, index)
        try:
            outline = measured_outline(surface, space=space, system=visit.system)
            check_regions(surface, outline.ring, visit.system)
            outlines.append(outline)
        except Refusal as refusal:
            raise refusal.at(f"surfaces[{index}]") from refusal
    meetings = meetings_of(space, outlines)
    roles = tuple(_roles(visit, surface) for surface in space.surfaces)
    return [
        Placed(
            path=f"{path}.surfaces[{index}]",
            place=f"{space.name}, {surface.name}",
            space=space,
            index=index,
            standing=Standing(
                surface=surface,
                outline=outlines[index],
                neighbours=_neighbours(visit, space, index, outlines[index], meetings),
                catalogue=catalogue,
                build_ups=visit.build_ups,
                system=visit.system,
                rules=visit.rules,
            ),
            meetings={
                edge: meeting
                for (owner, edge), meeting in meetings.items()
                if owner == index
            },
            times=_times(space, surface),
            others=roles,
        )
        for index, surface in enumerate(space.surfaces)
    ]


def _neighbours(
    visit: Visit,
    space: Space,
    index: int,
    outline: Outline,
    meetings: Mapping[tuple[int, int], Meeting],
) -> tuple[Neighbour | None, ...]:
    found: list[Neighbour | None] = []
    for edge in range(len(outline.ring)):
        meeting = meetings.get((index, edge))
        if meeting is None:
            found.append(None)
            continue
        other = space.surfaces[meeting.other]
        found.append(
            Neighbour(
                meeting=meeting,
                name=other.name,
                build_up=visit.build_ups.get(other.build_up),
            )
        )
    return tuple(found)


def _check_build_ups(visit: Visit, surface: Surface, index: int) -> None:
    named = [("build_up", surface.build_up)]
    named += [
        (
            "shape.riser_build_up"
            if is_flight(surface)
            else f"regions[{place}].build_up",
            region.build_up,
        )
        for place, region in enumerate(surface.regions)
    ]
    named += [
        (f"openings[{place}].lining", opening.lining)
        for place, opening in enumerate(surface.openings)
    ]
    for field, key in named:
        if key and key not in visit.build_ups:
            raise NoBuildUp(
                f"{surface.name} asks for the build-up “{key}”, which the visit does "
                "not have; add it or choose another.",
                field=f"surfaces[{index}].{field}",
            )


def _roles(visit: Visit, surface: Surface) -> frozenset[str]:
    keys = {surface.build_up, *(region.build_up for region in surface.regions)}
    return frozenset(
        layer.role
        for key in keys
        if key in visit.build_ups
        for layer in visit.build_ups[key].layers
    )


def _times(space: Space, surface: Surface) -> int:
    """Return how often a surface stands: repeats less the exceptions, times its own."""
    known = {other.id for other in space.surfaces}
    missing = 0
    for place, exception in enumerate(space.exceptions):
        if exception.surface not in known:
            raise WrongSurface(
                f"“{exception.surface}” is no surface of {space.name}; name the one "
                "that is missing.",
                field=f"exceptions[{place}].surface",
            )
        if exception.surface == surface.id:
            missing += exception.missing
    if missing > space.times:
        raise WrongSurface(
            f"{surface.name} is missing {missing} times, more often than {space.name} "
            f"stands ({space.times}).",
            field="exceptions",
        )
    return (space.times - missing) * surface.times
