"""The shape of a surface about to be kept, measured without its layers.

A build-up that is not finished yet may wait; an outline that crosses itself or an
opening outside its wall may not: nothing could ever be computed from it.
"""

from __future__ import annotations

from dataclasses import replace

from materials.core.errors import Refusal
from quotes.core.extents import recess_of
from quotes.core.faces import framing_face
from quotes.core.regions import divided
from quotes.core.standing import Placed, placed_surfaces
from quotes.core.visit import Space, Surface, Visit


def check_shape(visit: Visit, *, surface: str) -> None:
    """Measure one surface of a visit with its openings, regions and drain.

    Only what stands on it, or it stands on, is measured with it: a fault elsewhere
    in the visit must not keep anybody from mending this one.

    Raises: Refusal with the path from the visit on.
    """
    for place, space in enumerate(visit.spaces):
        if any(one.id == surface for one in space.surfaces):
            alone = replace(visit, spaces=(_needed(space, surface),), build_ups={})
            for placed in placed_surfaces(alone, {}):
                if placed.surface.id == surface:
                    path = f"spaces[{place}].surfaces[{placed.index}]"
                    _check_parts(replace(placed, path=path))


def _check_parts(placed: Placed) -> None:
    try:
        divided(placed.surface, framing_face(placed.standing))
    except Refusal as refusal:
        raise refusal.at(placed.path) from refusal
    recess_of(placed)


def _needed(space: Space, surface: str) -> Space:
    one = next(row for row in space.surfaces if row.id == surface)
    wanted = {surface, one.shape.floor}
    return replace(
        space,
        exceptions=(),
        surfaces=tuple(
            _bare(row)
            for row in space.surfaces
            if row.id in wanted or row.shape.floor == surface
        ),
    )


def _bare(surface: Surface) -> Surface:
    """Return a surface without layers and neighbours."""
    return replace(
        surface,
        build_up="",
        shape=replace(surface.shape, riser_build_up=""),
        edges=tuple(replace(edge, meets="") for edge in surface.edges),
        openings=tuple(replace(row, lining="") for row in surface.openings),
        regions=tuple(replace(row, build_up="") for row in surface.regions),
    )
