"""The sloped floor of a recess: the cheapest way that does, from the price list's pans.

A layer of role pan takes a factory pan: the one it names, or the cheapest of the list
that does. A layer of role mortar_bed takes a bed to falls, by its exact volume.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from moneyed import Money

from materials.core import amounts
from materials.core.cutting.pan_records import (
    LINEAR,
    MORTAR,
    Fit,
    FlatBoard,
    LinearDrain,
    Mortar,
    Pan,
    PointDrain,
    SlopeRule,
    Stock,
    Way,
)
from materials.core.cutting.pan_records import Recess as PanRecess
from materials.core.cutting.pans import fit_pans
from materials.core.errors import Refusal
from materials.core.kinds.foam_pan import pan_of
from materials.core.kinds.mortar import YIELD
from materials.core.lengths import METRE, MM, Length
from materials.core.need import Extent, MaterialFacts, Need, Step
from materials.core.pricelist import material_of
from materials.core.quantities import decimal_text
from materials.core.sources import Source
from materials.core.working import length_in, number_in
from quotes.core.buildup import BuildUp
from quotes.core.errors import WrongSurface
from quotes.core.extents import LayerExtent
from quotes.core.taken import SlopedFloor

FITTED = Source(title="fit: the slope of the pan against recess, drain and fall")


@dataclass(frozen=True, slots=True, kw_only=True)
class Shop:
    """What sloped floors are bought from: the price list and its currency."""

    catalogue: Mapping[str, MaterialFacts]
    currency: str
    system: str


def is_sloped(layer_extent: LayerExtent) -> bool:
    """Return whether a layer gives a recess with a known drain its fall."""
    return (
        layer_extent.layer.role in ("pan", "mortar_bed")
        and layer_extent.extent.recess is not None
    )


def sloped_floor(layer_extent: LayerExtent, shop: Shop) -> SlopedFloor:
    """Return the cheapest way of the layer's sort to slope one recess.

    Raises: WrongSurface with every reason when none does; BadShape or OutOfRange for
    a recess that is none; each with the surface's path.
    """
    extent = layer_extent.extent
    wants_bed = layer_extent.layer.role == "mortar_bed"
    stock = _bed_stock(layer_extent, shop) if wants_bed else _stock(layer_extent, shop)
    try:
        fit = fit_pans(_recess(extent, shop.system), stock=stock, rule=_rule(extent))
    except Refusal as refusal:
        raise refusal.at(layer_extent.placed.path) from refusal
    ways = [way for way in fit.ways if (way.kind == MORTAR) == wants_bed]
    if not ways:
        raise WrongSurface(_no_way(layer_extent, fit), field=layer_extent.placed.path)
    return SlopedFloor(
        place=extent.place,
        outline=extent.outline,
        times=extent.times,
        way=ways[0],
        fit=fit,
    )


def _no_way(layer_extent: LayerExtent, fit: Fit) -> str:
    reasons = list(dict.fromkeys(refused.reason for refused in fit.refused))
    told = " ".join(reasons[:4]) or "The price list has none."
    return (
        f"No {'bed' if layer_extent.layer.role == 'mortar_bed' else 'pan'} slopes "
        f"{layer_extent.extent.place} to its drain. {told} Choose another pan, change "
        "the drain, or float a mortar bed."
    )


def _recess(extent: Extent, system: str) -> PanRecess:
    recess = extent.recess
    if recess is None:
        raise WrongSurface(f"{extent.place} has no drain; say where it drains.")
    drain = recess.drain
    place: LinearDrain | PointDrain
    if drain["kind"] == LINEAR:
        place = LinearDrain(
            side=_whole(drain["side"]),
            start=Length(_whole(drain["start"])),
            length=Length(_whole(drain["length"])),
        )
    else:
        at = drain["at"]
        if not isinstance(at, tuple):
            raise WrongSurface(f"{extent.place} has no drain; say where it drains.")
        place = PointDrain(at=(at[0], at[1]))
    return PanRecess(
        outline=extent.outline,
        drain=place,
        flats=recess.flat,
        lowest=recess.lowest,
        system=system,
    )


def _whole(value: object) -> int:
    return value if isinstance(value, int) else 0


def _rule(extent: Extent) -> SlopeRule:
    recess = extent.recess
    if recess is None:
        return SlopeRule(least=Fraction(1, 48), most=Fraction(1, 24))
    return SlopeRule(least=recess.slope_min, most=recess.slope_max)


def kinds_chosen_from(build_ups: Iterable[BuildUp]) -> set[str]:
    """Return the kinds of product that some layer chooses from by itself.

    Any other product is named by its code, so a long price list need not be read.
    """
    pans = [
        layer
        for build_up in build_ups
        for layer in build_up.layers
        if layer.role == "pan"
    ]
    unnamed = any(not layer.material for layer in pans)
    return {
        *(["backer_board"] if pans else []),
        *(["foam_pan"] if unnamed else []),
    }


def _stock(layer_extent: LayerExtent, shop: Shop) -> Stock:
    code = layer_extent.layer.material
    named = (material_of(shop.catalogue, code),) if code else ()
    pans = named or tuple(
        shop.catalogue[key]
        for key in sorted(shop.catalogue)
        if shop.catalogue[key].kind == "foam_pan"
    )
    return Stock(
        pans=tuple(_pan(pan, layer_extent, shop) for pan in pans if _sold(pan, named)),
        boards=tuple(_board(board, shop) for board in _flat_boards(shop)),
    )


def _sold(pan: MaterialFacts, named: Sequence[MaterialFacts]) -> bool:
    return bool(pan.packs) or bool(named)


def _pan(material: MaterialFacts, layer_extent: LayerExtent, shop: Shop) -> Pan:
    free = layer_extent.layer.supplied_by != "us"
    return pan_of(material, _each(material, shop, free=free))


def _each(material: MaterialFacts, shop: Shop, *, free: bool = False) -> Money:
    """Return the least price of one piece, or nothing where we do not supply it."""
    if free or not material.packs:
        return amounts.zero(shop.currency)
    units = min(Fraction(pack.price) / pack.content for pack in material.packs)
    return amounts.money(units / amounts.UNITS_PER_WHOLE, shop.currency)


def _flat_boards(shop: Shop) -> list[MaterialFacts]:
    return [
        shop.catalogue[key]
        for key in sorted(shop.catalogue)
        if shop.catalogue[key].kind == "backer_board"
        and shop.catalogue[key].facts.get("core") == "foam"
        and shop.catalogue[key].packs
    ]


def _board(material: MaterialFacts, shop: Shop) -> FlatBoard:
    return FlatBoard(
        name=material.code,
        width=length_in(material.facts, "width"),
        depth=length_in(material.facts, "length"),
        thickness=length_in(material.facts, "thickness"),
        price=_each(material, shop),
    )


def _bed_stock(layer_extent: LayerExtent, shop: Shop) -> Stock:
    material = material_of(shop.catalogue, layer_extent.layer.material)
    thickness = layer_extent.layer.thickness
    least = thickness.length if thickness else length_in(
        material.facts, "thickness_min"
    )  # fmt: skip
    per_kg = number_in(material.facts, "litres_per_kg", YIELD)
    units = min(
        (Fraction(pack.price) / pack.content for pack in material.packs),
        default=Fraction(0),
    )
    litre = METRE**3 // 1000
    price = units / amounts.UNITS_PER_WHOLE / per_kg / litre
    return Stock(
        mortar=Mortar(
            price_per_cubic_tick=price,
            least=least or Length(30 * MM),
            currency=shop.currency,
        )
    )


def pan_needs(
    floors: Sequence[tuple[LayerExtent, SlopedFloor]],
) -> list[Need]:
    """Return the needs of sloped floors: pans and boards, each time it stands.

    Shape: one need a floor and material; the first of a floor carries the way, once
    for each repeat, as its plan.
    """
    needs: list[Need] = []
    for layer_extent, floor in floors:
        counts: dict[str, int] = {}
        for piece in floor.way.pieces:
            counts[piece.pan.name] = counts.get(piece.pan.name, 0) + 1
        boards = {
            board.board.name: board.count for board in floor.way.boards if board.count
        }
        plan: tuple[Way, ...] | None = (floor.way,) * floor.times
        for code, count in counts.items():
            needs.append(_need(layer_extent, floor, code, count, "each", plan))
            plan = None
        needs += [
            _need(layer_extent, floor, code, count, "sheet", None)
            for code, count in boards.items()
        ]
    return needs


def _need(
    layer_extent: LayerExtent,
    floor: SlopedFloor,
    code: str,
    count: int,
    unit: str,
    plan: object,
) -> Need:
    return Need(
        material=code,
        unit=unit,
        quantity=Fraction(count * floor.times),
        working=(
            Step(
                label=f"Sloped floor, {floor.place}",
                formula=floor.way.sentence,
                result=f"{count} × {floor.times}",
                source=FITTED,
            ),
            *_trim_step(floor),
        ),
        places=(floor.place,),
        supplied_by=layer_extent.layer.supplied_by,
        plan=plan,
        cautions=floor.way.cautions,
    )


def _trim_step(floor: SlopedFloor) -> tuple[Step, ...]:
    share = floor.way.trimmed_share
    if not share:
        return ()
    return (
        Step(
            label="Trimmed off",
            formula=f"{decimal_text(share * 100, places=2)} % of the plan area",
            result=amounts.plain(floor.way.trimmed_money),
        ),
    )


def bed_litres(floor: SlopedFloor) -> Fraction | None:
    """Return the volume of a bed to falls, one repeat.

    Units: litres.
    """
    if floor.way.bed is None:
        return None
    return floor.way.bed.volume / METRE**3 * 1000
