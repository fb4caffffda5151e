"""Where layers, surfaces and their use do not go together: a sentence and its source.

Nothing here certifies anything. Each rule says where it was printed; the local code
and the product's own sheet go before it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace

from materials.core.lengths import INCH, Length
from materials.core.need import MaterialFacts
from materials.core.outlines import ring_area
from materials.core.recess_rules import (
    LEAST_WAY,
    NARROW_AREA,
    NARROW_WAY,
    SIZE_SOURCE,
    SLOPE_SOURCE,
    size_caution,
)
from materials.core.sources import Source
from materials.core.working import bounds_of, length_in
from quotes.core.access import access_cautions
from quotes.core.buildup import BuildUp, has_role
from quotes.core.extents import LayerExtent
from quotes.core.faces import finished_face
from quotes.core.flights import is_flight
from quotes.core.standing import Placed
from quotes.core.taken import SHOP, Caution
from quotes.core.tile_rules import tile_rules
from quotes.core.visit import Visit

WET = ("wet", "steam", "under_water")
LEVEL_ROLES = ("floor", "recess", "steps", "bench", "kerb")
BARE_USES = ("barefoot_wet", "ramp", "stairs")
HARSH = ("steam", "under_water", "outdoors_frost", "heated", "near_heat")

FLATNESS = Source(title="ANSI A108.01 and A108.02", confidence="quoted")
SLIP = Source(title="ANSI A326.3, EN 16165", confidence="memory")
FOAM_HEAT = Source.shop_practice("foam and plastic soften near a source of heat")
WET_AREA = Source.shop_practice("a wet area is sealed behind or under its tile")
STEAM = Source.shop_practice("steam rooms need a steam-tight layer and a sloped lid")
UNDER_WATER = Source.shop_practice("only grout rated for it stands under water")
FROST = Source.shop_practice("outdoors in frost only frost-proof tile lasts")
SHEET = Source.shop_practice("the product's own sheet says what it is for")

LINING = Length(3 * INCH // 4)
"""Common practice: board, bed and tile on a wall that was not written down."""

LARGE_TILE = Length(15 * INCH)
FLAT_WITHIN = Length(INCH // 8)
FLAT_OVER = Length(120 * INCH)
"""For a tile with a side of LARGE_TILE or more, as FLATNESS prints it."""

FLAT_WORDS = {
    "imperial": ("15″", "1/8″ in 10′"),
    "metric": ("15 in (about 380 mm)", "1/8 in in 10 ft (about 3 mm in 3 m)"),
}
"""The rule in its own units: a converted 3.2 mm in 3048 mm would be nobody's rule."""


def clashes_of(
    visit: Visit, placed: Sequence[Placed], extents: Sequence[LayerExtent]
) -> tuple[Caution, ...]:
    """Return the cautions of a takeoff, each once a place, in the order of the file."""
    found: list[Caution] = []
    for surface in placed:
        own = [_told(one) for one in extents if one.placed is surface]
        for rule in _SURFACE_RULES:
            found += rule(surface, own)
        for one in own:
            found += _product_clashes(one)
    found += access_cautions(visit, extents)
    return tuple(dict.fromkeys(found))


def _told(one: LayerExtent) -> LayerExtent:
    """Return a layer with its place; of a flight's treads and risers the flight's."""
    if not is_flight(one.placed.surface):
        return one
    return replace(one, extent=replace(one.extent, place=one.placed.place))


def _build_ups(surface: Placed) -> list[BuildUp]:
    keys = {surface.surface.build_up, *(r.build_up for r in surface.surface.regions)}
    build_ups = surface.standing.build_ups
    return [build_ups[key] for key in sorted(keys) if key in build_ups]


def _facts(one: LayerExtent) -> MaterialFacts | None:
    return one.placed.standing.catalogue.get(one.layer.material)


def _foam_near_heat(
    surface: Placed, own: Sequence[LayerExtent]
) -> Iterator[Caution]:  # fmt: skip
    if surface.surface.exposure != "near_heat":
        return
    for one in own:
        material = _facts(one)
        if material is None:
            continue
        if material.kind == "foam_pan" or material.facts.get("core") == "foam":
            yield Caution(
                code="foam_near_heat",
                sentence=(
                    f"{material.name} is foam and {surface.place} is near heat; use a "
                    "mineral board, or the distance the sheets of both state."
                ),
                place=surface.place,
                source=FOAM_HEAT,
            )


def _no_waterproofing(
    surface: Placed, own: Sequence[LayerExtent]
) -> Iterator[Caution]:  # fmt: skip
    if surface.surface.exposure not in WET or not own:
        return
    for build_up in _build_ups(surface):
        if has_role(build_up, "waterproofing") or not has_role(build_up, "tile"):
            continue
        yield Caution(
            code="wet_without_waterproofing",
            sentence=(
                f"{surface.place} is wet and the build-up “{build_up.name}” has no "
                "waterproofing; add a membrane, or a board that is sealed at its seams."
            ),
            place=surface.place,
            source=WET_AREA,
        )


def _no_fall(surface: Placed, own: Sequence[LayerExtent]) -> Iterator[Caution]:
    wet_floor = surface.surface.role == "recess" or (
        surface.surface.role == "floor" and surface.surface.drain is not None
    )
    if not wet_floor or not own:
        return
    roles = {one.layer.role for one in own}
    if roles.isdisjoint(("pan", "mortar_bed")):
        yield Caution(
            code="no_fall",
            sentence=(
                f"{surface.place} has nothing that falls to a drain; add a pan or a "
                "mortar bed to falls."
            ),
            place=surface.place,
            source=SLOPE_SOURCE,
        )
    elif surface.surface.drain is None:
        yield Caution(
            code="no_drain",
            sentence=(
                f"{surface.place} has a sloped floor but no drain; say where it is."
            ),
            place=surface.place,
            source=SLOPE_SOURCE,
            reader=SHOP,
        )


def _small_shower(surface: Placed, own: Sequence[LayerExtent]) -> Iterator[Caution]:
    """Compare the finished recess with the model code's least shower."""
    if surface.surface.role != "recess":
        return
    ring = finished_face(surface.standing).ring
    width, depth = bounds_of(ring)
    across, up = _unlined(surface)
    width, depth = width - LINING * across, depth - LINING * up
    area = width.by(depth) if across or up else ring_area(ring)
    system = surface.standing.system
    caution = size_caution(width=width, depth=depth, area=area, system=system)
    if caution is None:
        yield from _narrow_shower(surface, min(width, depth), system)
        return
    allowed = LINING.text(system)
    words = (
        f" ({allowed} of lining is allowed for on each wall not measured.)"
        if across or up
        else ""
    )
    yield Caution(
        code="small_shower",
        sentence=f"{surface.place}: {caution.sentence}{words}",
        place=surface.place,
        source=caution.source,
    )


def _narrow_shower(surface: Placed, short: Length, system: str) -> Iterator[Caution]:
    """Say when only the exception for a large floor lets a narrow one pass."""
    if short >= LEAST_WAY:
        return
    yield Caution(
        code="small_shower",
        sentence=(
            f"{surface.place} finishes {short.text(system)} across, less than "
            f"{LEAST_WAY.text(system)}: the model code takes that only down to "
            f"{NARROW_WAY.text(system)} and with at least {NARROW_AREA.text(system)} "
            "of floor, which it has. Ask what the local code allows."
        ),
        place=surface.place,
        source=SIZE_SOURCE,
    )


def _unlined(surface: Placed) -> tuple[int, int]:
    """Return how many walls without a build-up narrow a recess, across and up."""
    if surface.surface.measured_to not in ("framing", "old_finish"):
        return 0, 0
    across = up = 0
    ring = surface.outline.ring
    for edge, note in enumerate(surface.outline.edges):
        neighbour = surface.standing.neighbours[edge]
        lined = neighbour is not None and neighbour.build_up is not None
        if note.kind != "wall" or lined:
            continue
        (x1, y1), (x2, y2) = ring[edge], ring[(edge + 1) % len(ring)]
        if abs(y2 - y1) >= abs(x2 - x1):
            across += 1
        else:
            up += 1
    return min(across, 2), min(up, 2)


def _steam(surface: Placed, own: Sequence[LayerExtent]) -> Iterator[Caution]:
    if surface.surface.exposure != "steam" or not own:
        return
    resistant = any(
        one.layer.role == "waterproofing"
        and (material := _facts(one)) is not None
        and material.facts.get("vapour_resistant") is True
        for one in own
    )
    if not resistant:
        yield Caution(
            code="steam_without_vapour_layer",
            sentence=(
                f"{surface.place} is in steam and has no steam-tight layer; "
                "choose a membrane whose sheet says so."
            ),
            place=surface.place,
            source=STEAM,
        )
    if surface.surface.role == "ceiling" and surface.surface.slope is None:
        yield Caution(
            code="steam_flat_ceiling",
            sentence=(
                f"{surface.place} is level in steam: drops fall where they form; slope "
                "it, or say its slope."
            ),
            place=surface.place,
            source=STEAM,
        )


_Rule = Callable[[Placed, Sequence[LayerExtent]], Iterator[Caution]]
_SURFACE_RULES: tuple[_Rule, ...] = (
    _foam_near_heat,
    _no_waterproofing,
    _no_fall,
    _small_shower,
    _steam,
)


def _product_clashes(one: LayerExtent) -> Iterator[Caution]:
    material = _facts(one)
    if material is None:
        return
    if material.kind == "tile":
        yield from _tile_clashes(one, material)
    exposure = one.extent.exposure
    if (
        material.kind == "grout"
        and exposure == "under_water"
        and material.facts.get("wet_rated") is not True
    ):
        yield Caution(
            code="grout_under_water",
            sentence=(
                f"{material.name} is not rated for under water; choose one that is, "
                "and let it cure before filling."
            ),
            place=one.extent.place,
            source=UNDER_WATER,
            reader=SHOP,
        )
    yield from _suited(one, material)


def _suited(one: LayerExtent, material: MaterialFacts) -> Iterator[Caution]:
    exposure = one.extent.exposure
    if exposure == "dry" or exposure in material.suited_to:
        return
    words = exposure.replace("_", " ")
    if material.suited_to:
        listed = ", ".join(word.replace("_", " ") for word in material.suited_to)
        yield Caution(
            code="not_suited",
            sentence=(
                f"{material.name} is listed for {listed}; "
                f"{one.extent.place} is {words}."
            ),
            place=one.extent.place,
            source=Source.product_sheet(material.name) if material.source else SHEET,
            reader=SHOP,
        )
    elif exposure in HARSH:
        yield Caution(
            code="sheet_required",
            sentence=(
                f"Product sheet required: nothing is held on {material.name} for a "
                f"place that is {words} ({one.extent.place})."
            ),
            place=one.extent.place,
            source=SHEET,
            reader=SHOP,
        )


def _tile_clashes(one: LayerExtent, material: MaterialFacts) -> Iterator[Caution]:
    extent = one.extent
    walked_wet = extent.role in LEVEL_ROLES and (
        extent.exposure in (*WET, "outdoors", "outdoors_frost")
        or extent.use in BARE_USES
    )
    if walked_wet and not material.facts.get("slip"):
        yield Caution(
            code="no_slip_value",
            sentence=(
                f"{material.name} has no slip value and {extent.place} is walked on "
                "wet; take it from the sheet or choose another tile."
            ),
            place=extent.place,
            source=SLIP,
        )
    if extent.exposure == "outdoors_frost" and (
        material.facts.get("frost_proof") is not True
    ):
        yield Caution(
            code="not_frost_proof",
            sentence=(
                f"{material.name} is not known to be frost proof ({extent.place})."
            ),
            place=extent.place,
            source=FROST,
        )
    yield from _flatness(one, material)
    yield from tile_rules(one, material)


def _flatness(one: LayerExtent, material: MaterialFacts) -> Iterator[Caution]:
    extent = one.extent
    longest = max(
        length_in(material.facts, "length"), length_in(material.facts, "width")
    )
    if longest >= LARGE_TILE and not length_in(material.facts, "chip_length"):
        side, flat = FLAT_WORDS[one.placed.standing.system]
        yield Caution(
            code="flatness",
            sentence=(
                f"{material.name} has a side of {side} or more: "
                f"{extent.place} must be flat to {flat} before it is set."
            ),
            place=extent.place,
            source=FLATNESS,
            reader=SHOP,
        )
