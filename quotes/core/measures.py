"""The figures labour is worked out from, and each surface at its three faces."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from materials.core.areas import NO_AREA, Area
from materials.core.kinds.profile import edge_pieces
from materials.core.lengths import NOTHING, Length
from materials.core.need import Edge, Step
from materials.core.outlines import perimeter, side_length, sides_of
from quotes.core.buildup import BOARD_STAGE, LAST_STAGE, thickness_up_to
from quotes.core.extents import LayerExtent
from quotes.core.faces import Moved, finished_face, framing_face
from quotes.core.flights import is_flight
from quotes.core.heights import level_volume
from quotes.core.regions import CUT, divided
from quotes.core.standing import Placed
from quotes.core.taken import FaceSizes, Measure, MeasuredSurface

AREA_ROLES = (
    "preparation",
    "leveller",
    "mortar_bed",
    "board",
    "waterproofing",
    "bed",
    "tile",
    "grout",
    "cleaning",
)


def measured_surface(placed: Placed) -> MeasuredSurface:
    """Return a surface with what follows from its sizes, at every face."""
    surface = placed.surface
    framing = framing_face(placed.standing)
    board = finished_face(placed.standing, BOARD_STAGE)
    finished = finished_face(placed.standing, LAST_STAGE)
    totals = edge_totals(placed, finished)
    volume, steps = _levelled(placed)
    return MeasuredSurface(
        id=surface.id,
        place=placed.place,
        space=placed.space.name,
        surface=surface.name,
        role=surface.role,
        measured_to=surface.measured_to,
        exposure=surface.exposure,
        use=surface.use,
        times=placed.times,
        edges=_edges(placed, finished),
        faces=tuple(
            _face(name, moved, placed)
            for name, moved in (
                ("framing", framing),
                ("board", board),
                ("finished", finished),
            )
        ),
        net_area=net_area(placed, finished),
        perimeter=perimeter(finished.ring),
        inside_corners=totals.inside,
        outside_corners=totals.outside,
        exposed_length=totals.exposed,
        build_up_thickness=_thickness(placed),
        closing=placed.outline.closing,
        closing_error=placed.outline.closing_error,
        level_volume=volume,
        steps=(*placed.outline.steps, *steps),
    )


def _thickness(placed: Placed) -> Length:
    build_up = placed.build_up_of(None)
    if build_up is None:
        return NOTHING
    return thickness_up_to(build_up, placed.standing.catalogue, stage=LAST_STAGE)


def net_area(placed: Placed, moved: Moved) -> Area:
    """Return the area of a surface at a face, openings cut out, regions in."""
    return sum(
        (part.piece.area for part in divided(placed.surface, moved)), start=NO_AREA
    )


def _face(name: str, moved: Moved, placed: Placed) -> FaceSizes:
    return FaceSizes(
        face=name,
        outline=moved.ring,
        holes=moved.holes,
        area=net_area(placed, moved),
        working=moved.steps,
    )


def _edges(placed: Placed, moved: Moved) -> tuple[Edge, ...]:
    notes = placed.outline.edges
    return tuple(
        Edge(kind=notes[index % len(notes)].kind, length=side_length(start, end))
        for index, (start, end) in enumerate(sides_of(moved.ring))
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class EdgeTotals:
    """The edges of one surface at a face, openings taken out, each corner once."""

    inside: Length = NOTHING
    outside: Length = NOTHING
    exposed: Length = NOTHING
    threshold: Length = NOTHING
    perimeter: Length = NOTHING


def edge_totals(placed: Placed, moved: Moved) -> EdgeTotals:
    """Return how much edge of each sort a surface has, all its regions together.

    `perimeter` is what runs along a wall that is not in the visit.
    """
    found: dict[str, Length] = {}
    for part in divided(placed.surface, moved):
        for side in part.sides:
            sort = _sort_of(placed, side.source)
            if sort:
                found[sort] = found.get(sort, NOTHING) + side.length
    return EdgeTotals(**found)


def _sort_of(placed: Placed, edge: int) -> str:
    """Return which total a side goes to; empty for one that is counted elsewhere."""
    if edge == CUT:
        return ""
    kind = placed.outline.edges[edge].kind
    meeting = placed.meetings.get(edge)
    if kind in ("exposed", "threshold"):
        return kind
    if meeting is None:
        return "outside" if kind == "fold" else "perimeter"
    if not meeting.is_first:
        return ""
    return "outside" if kind == "fold" else "inside"


def _levelled(placed: Placed) -> tuple[Fraction, tuple[Step, ...]]:
    surface = placed.surface
    if not surface.heights:
        return Fraction(0), ()
    fill = level_volume(surface, placed.outline.ring, least=NOTHING)
    system = placed.standing.system
    step = Step(
        label="Out of level",
        formula=f"{len(surface.heights)} heights, {fill.triangles} triangles",
        result=(
            f"{fill.least.text(system)} to {fill.greatest.text(system)} below the "
            "highest"
        ),
    )
    return fill.litres, (step,)


def measures_of(
    placed: Sequence[Placed], extents: Sequence[LayerExtent]
) -> tuple[Measure, ...]:
    """Return every measured quantity, in the order of the file.

    Units: m2, m, each, l. Quantities count all repeats.
    """
    found: list[Measure] = []
    for surface in placed:
        moved = finished_face(surface.standing)
        area = net_area(surface, moved)
        found += _surface_measures(surface, moved, area)
        for one in extents:
            if one.placed is surface:
                found += _layer_measures(one, area)
    return tuple(measure for measure in found if measure.quantity > 0)


def _surface_measures(placed: Placed, moved: Moved, area: Area) -> list[Measure]:
    totals = edge_totals(placed, moved)
    surface = placed.surface
    drilled = ("window", "fixture", "valve", "outlet", "other")
    counts = {
        "cut_out": sum(o.times for o in surface.openings if o.kind in drilled),
        "niche": sum(o.times for o in surface.openings if o.kind == "niche"),
        "step": surface.steps,
        "mitred_corner": _mitres(placed, moved),
    }
    measures = [
        _measure(placed, key, "length", "m", length.in_m, area)
        for key, length in (
            ("inside_corner", totals.inside),
            ("outside_corner", totals.outside),
            ("perimeter", totals.perimeter),
            ("exposed_edge", totals.exposed),
            ("threshold", totals.threshold),
        )
    ]
    measures += [
        _measure(placed, key, "each", "each", Fraction(count), area)
        for key, count in counts.items()
    ]
    return measures


def _mitres(placed: Placed, moved: Moved) -> int:
    return sum(
        len(part.piece.outline)
        for part in divided(placed.surface, moved)
        if part.region is not None
        and part.region.kind == "border"
        and part.region.corners == "mitred"
    )


def _measure(
    placed: Placed, key: str, basis: str, unit: str, each: Fraction, area: Area
) -> Measure:
    surface = placed.surface
    return Measure(
        key=key,
        basis=basis,
        unit=unit,
        quantity=each * placed.times,
        place=placed.place,
        role=surface.role,
        exposure=surface.exposure,
        use=surface.use,
        times=placed.times,
        surface_area=area,
    )


def _layer_measures(one: LayerExtent, area: Area) -> list[Measure]:
    extent, role = one.extent, one.layer.role
    if role == "tile" and is_flight(one.placed.surface):
        return []  # set step by step, and measured so
    if role in AREA_ROLES:
        measures = [_of_layer(one, "layer_area", "area", "m2", extent.area.sq_m, area)]
        if extent.volume is not None:
            measures.append(
                _of_layer(one, "volume", "volume", "l", extent.volume, area)
            )
        return measures
    if role == "trim":
        along = str(one.layer.settings.get("along", "exposed"))
        run = sum(edge_pieces(extent, along), start=NOTHING)
        return [_of_layer(one, "layer_length", "length", "m", run.in_m, area)]
    if role == "sealant":
        run = extent.inside_corners + extent.perimeter
        return [_of_layer(one, "sealant_joint", "length", "m", run.in_m, area)]
    if role in ("drain", "pan"):
        return [_of_layer(one, role, "each", "each", Fraction(1), area)]
    return []


def _of_layer(
    one: LayerExtent, key: str, basis: str, unit: str, each: Fraction, area: Area
) -> Measure:
    extent = one.extent
    return Measure(
        key=key,
        basis=basis,
        unit=unit,
        quantity=each * extent.times,
        place=extent.place,
        role=extent.role,
        layer=one.layer.role,
        material=one.layer.material,
        exposure=extent.exposure,
        use=extent.use,
        times=extent.times,
        tile=extent.tile,
        pattern=one.pattern,
        surface_area=area,
    )
