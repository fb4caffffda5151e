"""What a layer finds on a riser or a tread: its bed, its nosing, its corner behind.

The bed under each tread is as thick as equal risers want it, so it is bought by
volume. A profile runs along the front of every tread; of the landing too, where the
flight's top side is said to show. Behind every tread the plane changes.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from materials.core.errors import OutOfRange
from materials.core.lengths import METRE, NOTHING, Length
from materials.core.need import Edge, Extent
from materials.core.outlines import sides_of
from quotes.core.buildup import STAGES, BuildUp, Layer, thickness_of
from quotes.core.flights import flight_of, is_flight, stairs_of
from quotes.core.regions import REGION_EDGE, RegionPart
from quotes.core.stairs import Step
from quotes.core.standing import Placed

TOP = 2
"""The side of an unrolled flight along the landing."""

LITRES_PER_M3 = 1000


def step_extent(
    extent: Extent, placed: Placed, part: RegionPart, layer: Layer
) -> Extent:
    """Return the extent of a layer on one riser or tread; any other as it is.

    Raises: OutOfRange where the bed is thinner than the layers that lie in it.
    """
    if not is_flight(placed.surface):
        return extent
    at = placed.surface.regions.index(part.region) if part.region else 0
    step, is_tread = stairs_of(placed.surface.shape).steps[at // 2], at % 2 == 1
    extent = replace(extent, volume=_volume(extent, placed, layer, step, is_tread))
    if not is_tread:
        return _without_top(extent)
    width = _width(extent)
    inside = extent.inside_corners + width
    outside = width if layer.role == "waterproofing" else NOTHING
    return replace(
        extent,
        edges=_with_front(extent),
        inside_corners=inside,
        outside_corners=extent.outside_corners + outside,
        corner_runs=(*extent.corner_runs, width, *((outside,) if outside else ())),
        reveals=(*extent.reveals, *_of_landing(placed, at, width)),
    )


def _width(extent: Extent) -> Length:
    across = [x for x, _ in extent.outline]
    return Length(max(across) - min(across))


def _with_front(extent: Extent) -> tuple[Edge, ...]:
    """Return the edges of a tread with its front shown: there the nosing is."""
    low = min(y for _, y in extent.outline)
    return tuple(
        replace(edge, kind="exposed") if y1 == y2 == low else edge
        for edge, ((_x1, y1), (_x2, y2)) in zip(
            extent.edges, sides_of(extent.outline), strict=True
        )
    )


def _without_top(extent: Extent) -> Extent:
    """Return a riser whose top is no edge.

    The profile there is the tread's, and the landing is no wall to seal against.
    """
    high = max(y for _, y in extent.outline)
    edges, perimeter = [], extent.perimeter
    for edge, ((_x1, y1), (_x2, y2)) in zip(
        extent.edges, sides_of(extent.outline), strict=True
    ):
        is_top = y1 == y2 == high
        if is_top and edge.kind == "wall":
            perimeter = perimeter - edge.length
        edges.append(replace(edge, kind=REGION_EDGE) if is_top else edge)
    return replace(extent, edges=tuple(edges), perimeter=perimeter)


def _of_landing(placed: Placed, at: int, width: Length) -> tuple[Length, ...]:
    """Return the landing's own nosing, told with the tread below it."""
    is_last = at == len(placed.surface.regions) - 2
    shows = placed.outline.edges[TOP].kind == "exposed"
    return (width,) if is_last and shows else ()


def _volume(
    extent: Extent, placed: Placed, layer: Layer, step: Step, is_tread: bool
) -> Fraction | None:
    """Return the litres of the layer that makes up the bed, None for any other one."""
    shape = placed.surface.shape
    if not is_tread and shape.riser_build_up:
        return None
    build_up = placed.standing.build_ups[placed.surface.build_up]
    if layer is not bed_layer(build_up):
        return None
    flight = flight_of(shape)
    bed = step.bed if is_tread and step.bed else flight.riser - flight.tile
    rest = bed - _others(placed, build_up, layer)
    if rest < NOTHING:
        raise OutOfRange(
            f"{placed.surface.name}: the layers under the tile are thicker than the "
            f"bed of {bed.text(placed.standing.system)}; give more bed, or the risers "
            "a build-up of their own.",
            field=f"{placed.path}.shape.{'bed' if is_tread else 'riser'}",
        )
    return extent.area.sq_m * Fraction(rest.ticks, METRE) * LITRES_PER_M3


def bed_layer(build_up: BuildUp) -> Layer | None:
    """Return the layer that takes up what thickness a bed has over the others.

    The mortar bed where there is one, else what the tile is set with.
    """
    for role in ("mortar_bed", "bed"):
        for layer in build_up.layers:
            if layer.role == role:
                return layer
    return None


def _others(placed: Placed, build_up: BuildUp, bed: Layer) -> Length:
    return sum(
        (
            thickness_of(layer, placed.standing.catalogue)
            for layer in build_up.layers
            if layer is not bed and STAGES[layer.role] < STAGES["tile"]
        ),
        start=NOTHING,
    )
