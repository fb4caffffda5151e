"""What a kind is told of a layer beside its extent, and which layers go together."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from materials.core.need import MaterialFacts
from materials.core.working import length_in
from quotes.core.access import widest_that_comes_in
from quotes.core.buildup import BuildUp
from quotes.core.extents import LayerExtent
from quotes.core.mixed_patterns import share_of
from quotes.core.visit import Visit

Groups = dict[tuple[object, ...], list[LayerExtent]]


def grouped(
    extents: Sequence[LayerExtent],
    catalogue: Mapping[str, MaterialFacts],
    visit: Visit,
) -> Groups:
    """Return the layers by material, supplier and settings: each group is one need."""
    groups: Groups = {}
    for one in extents:
        settings = settings_of(one, catalogue, visit)
        key: tuple[object, ...] = (
            one.layer.material,
            one.layer.supplied_by,
            tuple(sorted((name, repr(value)) for name, value in settings.items())),
        )
        groups.setdefault(key, []).append(one)
    return groups


def with_rack_once(
    material: MaterialFacts, one: LayerExtent, lent: set[str]
) -> MaterialFacts:
    """Return a material with its kept pieces, for the first need of ours alone.

    Layers of other settings are planned apart, and no plan may take what another has;
    what the client or others supply is cut from theirs. `lent` is added to.
    """
    if one.layer.supplied_by != "us" or material.code in lent:
        return replace(material, rack=())
    lent.add(material.code)
    return material


def settings_of(
    one: LayerExtent, catalogue: Mapping[str, MaterialFacts], visit: Visit
) -> dict[str, object]:
    """Return a layer's settings with its thickness and the board it goes with."""
    settings: dict[str, object] = {"system": visit.system, **one.layer.settings}
    if one.layer.thickness is not None:
        settings["thickness"] = one.layer.thickness.length
    if one.layer.role == "board":
        settings["passes"] = widest_that_comes_in(visit.site)
    if one.mix is not None:
        settings["share"] = share_of(one.mix.lattice, one.mix.rank)
    board = _board_of(one.build_up, catalogue)
    if board is not None:
        settings["sheet_width"] = length_in(board.facts, "width")
        settings["sheet_length"] = length_in(board.facts, "length")
    return settings


def _board_of(
    build_up: BuildUp, catalogue: Mapping[str, MaterialFacts]
) -> MaterialFacts | None:
    for layer in build_up.layers:
        if layer.role == "board" and layer.material in catalogue:
            return catalogue[layer.material]
    return None
