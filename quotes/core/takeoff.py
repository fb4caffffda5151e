"""From the measured surfaces and their build-ups to what the job takes.

`take_off` gives needs per material, pooled over the whole job before packs; the
figures labour is worked out from (`Measure`); each surface moved to every face; and
the cautions. Nothing here knows of money but the choice of the cheapest pan.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from materials.core.errors import Refusal, Unknown
from materials.core.kind import Lot
from materials.core.kinds import kind_of
from materials.core.kinds.tile import Counted
from materials.core.lengths import Length
from materials.core.need import MaterialFacts, Need
from materials.core.plans.pooling import joined
from materials.core.plans.records import MaterialPlan
from materials.core.pricelist import material_of
from quotes.core.access import board_runs
from quotes.core.buildup import STAGES, BuildUp
from quotes.core.clashes import clashes_of
from quotes.core.extents import LayerExtent, layer_extents
from quotes.core.flights import is_flight
from quotes.core.layer_settings import grouped, settings_of, with_rack_once
from quotes.core.measures import measured_surface, measures_of
from quotes.core.sloped_floors import (
    Shop,
    bed_litres,
    is_sloped,
    pan_needs,
    sloped_floor,
)
from quotes.core.standing import Placed, placed_surfaces
from quotes.core.taken import (
    SHOP,
    Caution,
    FaceSizes,
    LayerUse,
    Measure,
    MeasuredSurface,
    SlopedFloor,
    Takeoff,
)
from quotes.core.taken_stairs import stair_cautions, taken_stairs
from quotes.core.tile_counts import counted_tiles
from quotes.core.tile_orders import ordered, ordering_for
from quotes.core.visit import Visit

ROLE_KINDS: Mapping[str, tuple[str, ...]] = {
    "preparation": ("mortar", "membrane"),
    "leveller": ("mortar",),
    "drain": ("linear_drain",),
    "pan": ("foam_pan",),
    "mortar_bed": ("mortar",),
    "board": ("backer_board",),
    "fixing": ("fixing",),
    "waterproofing": ("membrane",),
    "bed": ("mortar",),
    "tile": ("tile",),
    "grout": ("grout",),
    "sealant": ("sealant",),
    "trim": ("profile",),
}
"""Which kinds of material a layer of a role can be."""


READ_WITHIN = Length.mm(6)
"""What a tape and two hands may be out over a room; more is said (shop practice)."""


def take_off(visit: Visit, catalogue: Mapping[str, MaterialFacts]) -> Takeoff:
    """Return what a visit takes: needs, measures, moved surfaces, cautions.

    Shape: needs in the order of the stages of work, then by material code; one for
    each material and who supplies it. A visit without surfaces needs nothing.
    Raises: Refusal with the dotted path of the surface, layer or material.
    """
    placed = placed_surfaces(visit, catalogue)
    for build_up in _used(placed):
        _check_materials(build_up, catalogue)
    extents: list[LayerExtent] = []
    for surface in placed:
        extents += layer_extents(surface)
    extents, floors = _with_slopes(extents, visit, catalogue)
    bought = [other for one in extents for other in _with_others(one)]
    needs = _in_order(
        _pooled(_needs(bought, catalogue, visit) + pan_needs(floors)), bought
    )
    return Takeoff(
        visit=visit.id,
        surfaces=tuple(map(measured_surface, placed)),
        needs=needs,
        measures=measures_of(placed, extents),
        layers=tuple(map(_layer_use, extents)),
        slopes=tuple(floor for _, floor in floors),
        stairs=taken_stairs(placed),
        cautions=(
            *_not_closing(placed),
            *stair_cautions(placed),
            *clashes_of(visit, placed, extents),
        ),
    )


def _not_closing(placed: Sequence[Placed]) -> Iterator[Caution]:
    """Yield what does not close by more than a tape and two hands explain."""
    for one in placed:
        outline = one.outline
        if outline.closing and not 0 < outline.closing_error.ticks < READ_WITHIN.ticks:
            yield Caution(
                code="closing",
                sentence=f"{one.place}: {outline.closing} Read it again before "
                "anything is bought.",
                place=one.place,
                reader=SHOP,
            )


def _used(placed: Sequence[Placed]) -> list[BuildUp]:
    """Return the build-ups that some surface or region takes, by key."""
    keys = {
        key
        for one in placed
        for key in (
            one.surface.build_up,
            *(region.build_up for region in one.surface.regions),
        )
        if key
    }
    build_ups = placed[0].standing.build_ups if placed else {}
    return [build_ups[key] for key in sorted(keys)]


def _check_materials(build_up: BuildUp, catalogue: Mapping[str, MaterialFacts]) -> None:
    """Refuse a product that is not in the list, or not of a kind for its layer."""
    for place, layer in enumerate(build_up.layers):
        if not layer.material:
            continue
        path = f"build_ups.{build_up.key}.layers[{place}].material"
        try:
            material = material_of(catalogue, layer.material)
        except Refusal as refusal:
            raise refusal.at(path) from refusal
        kinds = ROLE_KINDS.get(layer.role)
        if kinds is not None and material.kind not in kinds:
            words = " or ".join(kind_of(key).label.lower() for key in kinds)
            raise Unknown(
                f"{material.code} {material.name} is a "
                f"{kind_of(material.kind).label.lower()}; the "
                f"{layer.role.replace('_', ' ')} layer takes a {words}.",
                field=path,
            )


def _with_others(one: LayerExtent) -> Iterator[LayerExtent]:
    """Yield a layer for each product its pattern is laid of; most are of one."""
    if one.mix is None:
        yield one
        return
    for rank, product in enumerate(one.mix.products):
        yield replace(
            one,
            layer=replace(one.layer, material=product),
            mix=replace(one.mix, rank=rank),
        )


_Floors = list[tuple[LayerExtent, SlopedFloor]]


def _with_slopes(
    extents: Sequence[LayerExtent], visit: Visit, catalogue: Mapping[str, MaterialFacts]
) -> tuple[list[LayerExtent], _Floors]:
    """Return the extents with sloped beds' volumes, and the floors that were fitted.

    A pan with a drain is taken out of the plain extents: its way says what to buy.
    """
    shop = Shop(catalogue=catalogue, currency=visit.currency, system=visit.system)
    kept: list[LayerExtent] = []
    floors: _Floors = []
    for one in extents:
        if not is_sloped(one) or (one.layer.role != "pan" and not one.layer.material):
            kept.append(one)
            continue
        floor = sloped_floor(one, shop)
        floors.append((one, floor))
        litres = bed_litres(floor)
        kept.append(replace(one, extent=replace(one.extent, volume=litres)))
    return kept, floors


def _needs(
    extents: Sequence[LayerExtent],
    catalogue: Mapping[str, MaterialFacts],
    visit: Visit,
) -> list[Need]:
    """Return one need for each material, supplier and setting of its layers.

    A kind that pools is given all layers of a material at once. Boards come first:
    their seams and folds are what bands are for.
    """
    bought = [
        one
        for one in extents
        if one.layer.material and not (one.layer.role == "pan" and is_sloped(one))
    ]
    groups = grouped(bought, catalogue, visit)
    pools: dict[tuple[object, ...], list[list[LayerExtent]]] = {}
    for key, group in groups.items():
        kind = kind_of(material_of(catalogue, group[0].layer.material).kind)
        together = key[:2] if kind.pool else key
        if kind.key == "tile":
            # A layer's own breakage is for the tile it is set with, not for all.
            together = (*together, repr(group[0].layer.settings.get("loss")))
        pools.setdefault(together, []).append(group)
    boards: dict[str, list[MaterialPlan]] = {}
    needs = []
    lent: set[str] = set()
    for pool in sorted(pools.values(), key=lambda pool: not _is_board(pool, catalogue)):
        first = pool[0][0]
        listed = material_of(catalogue, first.layer.material)
        material = with_rack_once(listed, first, lent)
        need = _need(pool, material, catalogue, visit, boards)
        if isinstance(need.plan, MaterialPlan) and _is_board(pool, catalogue):
            boards.setdefault(need.material, []).append(need.plan)
        needs.append(need)
    return needs


def _is_board(
    pool: Sequence[Sequence[LayerExtent]], catalogue: Mapping[str, MaterialFacts]
) -> bool:
    material = catalogue[pool[0][0].layer.material]
    return material.kind == "backer_board"


def _need(
    pool: Sequence[Sequence[LayerExtent]],
    material: MaterialFacts,
    catalogue: Mapping[str, MaterialFacts],
    visit: Visit,
    boards: Mapping[str, Sequence[MaterialPlan]],
) -> Need:
    first = pool[0][0]
    kind = kind_of(material.kind)
    lots = []
    counted: Sequence[Counted | None] = ()
    if material.kind == "tile":
        counted = _ordered_tiles(pool, material, catalogue, visit)
    for at, group in enumerate(pool):
        settings = settings_of(group[0], catalogue, visit)
        if counted:
            settings["counted"] = counted[at]
        if material.kind == "membrane":
            settings |= board_runs(boards, catalogue)
        extents = tuple(one.extent for one in group)
        lots.append(Lot(extents=extents, settings=settings))
    try:
        if kind.pool is not None:
            need = kind.pool(material, lots)
        else:
            need = kind.need(material, lots[0].extents, lots[0].settings)
    except Refusal as refusal:
        raise refusal.at(first.layer_path) from refusal
    return replace(need, supplied_by=first.layer.supplied_by)


def _ordered_tiles(
    pool: Sequence[Sequence[LayerExtent]],
    material: MaterialFacts,
    catalogue: Mapping[str, MaterialFacts],
    visit: Visit,
) -> list[Counted | None]:
    """Return the counts of a tile's layers, ordered together."""
    settings = [settings_of(group[0], catalogue, visit) for group in pool]
    plans = [
        counted_tiles(group, material, own)
        for group, own in zip(pool, settings, strict=True)
    ]
    return ordered(plans, ordering_for(material, settings[0], visit.ordering))


def _pooled(needs: Sequence[Need]) -> tuple[Need, ...]:
    """Return the needs with those of one material and supplier made one."""
    merged: dict[tuple[str, str], Need] = {}
    for need in needs:
        key = (need.material, need.supplied_by)
        merged[key] = joined([merged[key], need]) if key in merged else need
    return tuple(merged.values())


def _in_order(
    needs: Sequence[Need], extents: Sequence[LayerExtent]
) -> tuple[Need, ...]:
    """Return the needs by the first stage of work that takes them, then by code."""
    stages: dict[str, int] = {}
    for one in extents:
        stage = STAGES[one.layer.role]
        code = one.layer.material
        stages[code] = min(stage, stages.get(code, stage))
    return tuple(
        sorted(
            needs,
            key=lambda need: (
                stages.get(need.material, STAGES["pan"]),
                need.material,
                need.supplied_by,
            ),
        )
    )


def _layer_use(one: LayerExtent) -> LayerUse:
    return LayerUse(
        place=one.extent.place,
        region=one.part.name,
        role=one.layer.role,
        material=one.layer.material,
        outline=one.extent.outline,
        holes=one.extent.holes,
        edges=one.extent.edges,
        area=one.extent.area,
        times=one.extent.times,
        tile=one.extent.tile,
        pattern=one.pattern,
        surface_id=one.placed.surface.id,
        region_id=_kept_with(one),
        mix=one.mix,
    )


def _kept_with(one: LayerExtent) -> str:
    """Return the region that keeps a part's set-out; treads keep it in their flight."""
    if one.part.region is None or is_flight(one.placed.surface):
        return ""
    return one.part.region.id


__all__ = [
    "ROLE_KINDS",
    "Caution",
    "FaceSizes",
    "LayerUse",
    "Measure",
    "MeasuredSurface",
    "SlopedFloor",
    "Takeoff",
    "take_off",
]
