"""Each layer of each region as an extent: outline at its face, edges, corners."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction

from materials.core.errors import Refusal
from materials.core.kinds.tile import facts_of
from materials.core.lengths import NOTHING, Length
from materials.core.need import Edge, Extent, Recess, TileFacts
from materials.core.outlines import side_length, sides_of
from quotes.core.buildup import STAGES, BuildUp, Layer, tile_layer
from quotes.core.errors import WrongSurface
from quotes.core.faces import Moved, layer_face
from quotes.core.flight_extents import step_extent
from quotes.core.flights import is_flight
from quotes.core.heights import level_volume
from quotes.core.mixed_patterns import Mix, joint_share_of, mix_of, others_of
from quotes.core.regions import (
    CUT,
    REGION_EDGE,
    RegionPart,
    divided,
    free_pieces,
)
from quotes.core.standing import Placed
from quotes.core.typed import Typed
from quotes.core.visit import Drain

SEALED_OPENINGS = ("door", "window", "fixture")
DRILLED_OPENINGS = ("window", "niche", "fixture", "valve", "outlet", "other")


@dataclass(frozen=True, slots=True, kw_only=True)
class LayerExtent:
    """One layer on one part of a surface, ready for its kind.

    `mix` is set where a pattern is laid of several products.
    """

    placed: Placed
    part: RegionPart
    build_up: BuildUp
    layer: Layer
    layer_path: str
    extent: Extent
    pattern: Mapping[str, object]
    mix: Mix | None = None


def layer_extents(placed: Placed) -> list[LayerExtent]:
    """Return the extents of all layers of a surface, in the order of the build-up.

    Raises: WrongSurface or Unknown with the path of the surface or of the layer.
    """
    keys = {placed.surface.build_up, *(r.build_up for r in placed.surface.regions)}
    build_ups = placed.standing.build_ups
    stages = sorted(
        {
            STAGES[layer.role]
            for key in keys
            if key in build_ups
            for layer in build_ups[key].layers
        }
    )
    found: list[tuple[int, LayerExtent]] = []
    for stage in stages:
        try:
            moved = layer_face(placed.standing, stage)
            parts = divided(placed.surface, moved)
        except Refusal as refusal:
            raise refusal.at(placed.path) from refusal
        for number, part in enumerate(parts):
            build_up = placed.build_up_of(part.region)
            if build_up is None:
                continue
            is_main = number == _largest(parts)
            for place, layer in enumerate(build_up.layers):
                if STAGES[layer.role] == stage:
                    one = _extent(placed, moved, part, build_up, place, is_main)
                    found.append((place, one))
    found.sort(key=lambda item: item[0])
    return [item for _, item in found]


def _largest(parts: tuple[RegionPart, ...]) -> int:
    """Return the part that openings and drains are counted with: the largest."""
    return max(range(len(parts)), key=lambda i: (parts[i].piece.area, -i))


def _extent(
    placed: Placed,
    moved: Moved,
    part: RegionPart,
    build_up: BuildUp,
    place: int,
    is_main: bool,
) -> LayerExtent:
    layer, surface = build_up.layers[place], placed.surface
    perimeter, inside, outside = _corners(placed, part, layer.role)
    pattern, path = _pattern(placed, part, layer), _path(build_up, place)
    extent = Extent(
        place=f"{placed.place}, {part.name}" if part.name else placed.place,
        role=surface.role,
        outline=part.piece.outline,
        holes=part.piece.holes,
        area=part.piece.area,
        edges=part_edges(placed, part),
        inside_corners=sum(inside, start=NOTHING),
        outside_corners=sum(outside, start=NOTHING),
        corner_runs=(*inside, *outside),
        perimeter=perimeter,
        times=placed.times,
        exposure=surface.exposure,
        use=surface.use,
        tile=_tile_laid(placed, part, build_up),
        recess=recess_of(placed),
    )
    extent = _with_openings(placed, moved, layer, extent) if is_main else extent
    extent = step_extent(extent, placed, part, layer)
    return LayerExtent(
        placed=placed,
        part=part,
        build_up=build_up,
        layer=layer,
        layer_path=path,
        extent=extent,
        pattern=pattern,
        mix=_mix(placed, layer, pattern, path),
    )


def _path(build_up: BuildUp, place: int) -> str:
    return f"build_ups.{build_up.key}.layers[{place}]"


def _mix(
    placed: Placed, layer: Layer, pattern: Mapping[str, object], path: str
) -> Mix | None:
    catalogue = placed.standing.catalogue
    if layer.role != "tile" or layer.material not in catalogue:
        return None
    try:
        return mix_of(layer.material, pattern, layer.settings, catalogue)
    except Refusal as refusal:
        raise refusal.at(f"{path}.pattern") from refusal


def _pattern(placed: Placed, part: RegionPart, layer: Layer) -> Mapping[str, object]:
    """Return how a part is set out: by its region, its surface, or its build-up.

    A set-out that was chosen for another pattern than the build-up has now is void.
    """
    if part.region is not None and not is_flight(placed.surface):
        return part.region.pattern or layer.pattern
    own = placed.surface.pattern
    same = own.get("name") == layer.pattern.get("name", "stack")
    if not same:
        return layer.pattern
    others = others_of(layer.pattern)
    return {**own, "with": list(others)} if others else own


def _with_openings(
    placed: Placed, moved: Moved, layer: Layer, extent: Extent
) -> Extent:
    """Return the extent with what is counted once a surface: openings, heights."""
    return replace(
        extent,
        perimeter=extent.perimeter + _round_openings(placed, moved),
        reveals=_reveals(placed, moved),
        volume=_volume(placed, layer),
        cut_outs=sum(
            opening.times
            for opening in placed.surface.openings
            if opening.kind in DRILLED_OPENINGS
        ),
    )


def part_edges(placed: Placed, part: RegionPart) -> tuple[Edge, ...]:
    """Return the kind and length of each side of a part."""
    return tuple(
        Edge(
            kind=REGION_EDGE
            if side.source == CUT
            else placed.outline.edges[side.source].kind,
            length=side.length,
        )
        for side in part.sides
    )


def _corners(
    placed: Placed, part: RegionPart, role: str
) -> tuple[Length, list[Length], list[Length]]:
    """Return a part's perimeter, and its inside and outside corners run by run."""
    perimeter = NOTHING
    inside: list[Length] = []
    outside: list[Length] = []
    for side in part.sides:
        if side.source == CUT:
            continue
        kind = placed.outline.edges[side.source].kind
        if side.source in placed.meetings:
            if not placed.counts_corner(side.source, role):
                continue
            if kind == "fold":
                outside.append(side.length)
            elif kind == "wall":
                inside.append(side.length)
        elif kind == "wall":
            perimeter += side.length
        elif kind == "fold":
            outside.append(side.length)
    return perimeter, inside, outside


def _round_openings(placed: Placed, moved: Moved) -> Length:
    return sum(
        (
            sum(free_pieces(hole, moved.ring), start=NOTHING)
            for opening, hole in zip(placed.surface.openings, moved.holes, strict=True)
            if opening.kind in SEALED_OPENINGS
        ),
        start=NOTHING,
    )


def _reveals(placed: Placed, moved: Moved) -> tuple[Length, ...]:
    """Return the profile lengths round openings that get one, side by side."""
    pieces: list[Length] = []
    for opening, hole in zip(placed.surface.openings, moved.holes, strict=True):
        if not opening.trim:
            continue
        pieces += free_pieces(hole, moved.ring)
    return tuple(pieces)


def _volume(placed: Placed, layer: Layer) -> Fraction | None:
    if layer.role != "leveller" or not placed.surface.heights:
        return None
    least = layer.thickness.length if layer.thickness else NOTHING
    return level_volume(placed.surface, placed.outline.ring, least=least).litres


def tile_of(placed: Placed, build_up: BuildUp) -> TileFacts | None:
    """Return the tile of a build-up with its joint, or None without a tile."""
    layer = tile_layer(build_up)
    if layer is None or not layer.material:
        return None
    # A product that is not in the list is refused later, with the layer's path.
    material = placed.standing.catalogue.get(layer.material)
    return None if material is None else facts_of(material, layer.settings)


def _tile_laid(placed: Placed, part: RegionPart, build_up: BuildUp) -> TileFacts | None:
    """Return the tile of a part, with the joint of all sizes that are laid with it."""
    tile, layer = tile_of(placed, build_up), tile_layer(build_up)
    if tile is None or layer is None:
        return tile
    path = _path(build_up, build_up.layers.index(layer))
    mix = _mix(placed, layer, _pattern(placed, part, layer), path)
    return replace(tile, share=joint_share_of(mix.lattice)) if mix else tile


def recess_of(placed: Placed) -> Recess | None:
    """Return what a sloped floor must know, or None for a surface without a drain.

    Raises: WrongSurface for a drain on a side that is not there.
    """
    surface = placed.surface
    if surface.drain is None:
        return None
    drain = _drain(placed, surface.drain)
    slope = surface.slope
    left = min(x for x, _ in placed.outline.ring)
    bottom = min(y for _, y in placed.outline.ring)
    return Recess(
        drain=drain,
        flat=tuple(
            tuple((left + x.length.ticks, bottom + y.length.ticks) for x, y in outline)
            for outline in surface.flat
        ),
        slope_min=slope.least if slope else Fraction(1, 48),
        slope_max=slope.most if slope else Fraction(1, 24),
        lowest=surface.lowest.length if surface.lowest else NOTHING,
    )


def _drain(placed: Placed, drain: Drain) -> dict[str, object]:
    if drain.kind == "point":
        return {"kind": "point", "at": (_ticks(drain.x), _ticks(drain.y))}
    sides = sides_of(placed.outline.ring)
    if drain.side >= len(sides):
        raise WrongSurface(
            f"{placed.surface.name} has {len(sides)} sides, numbered from 0; the drain "
            f"lies on side {drain.side}.",
            field=f"{placed.path}.drain.side",
        )
    length = side_length(*sides[drain.side])
    end = _ticks(drain.start) + _ticks(drain.line)
    if end > length.ticks:
        raise WrongSurface(
            f"The drain of {placed.surface.name} is longer than its side; check where "
            "it begins and its length.",
            field=f"{placed.path}.drain.length",
        )
    return {
        "kind": "linear",
        "side": drain.side,
        "start": _ticks(drain.start),
        "length": _ticks(drain.line),
    }


def _ticks(typed: Typed | None) -> int:
    return typed.length.ticks if typed else 0
