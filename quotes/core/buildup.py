"""Build-ups: the ordered layers chosen for a surface, from the substrate outwards."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from materials.core.kinds.mortar import Notch, combed_thickness
from materials.core.lengths import NOTHING, Length
from materials.core.need import MaterialFacts
from materials.core.working import length_in
from quotes.core.typed import Typed

LAYER_ROLES = (
    "preparation",
    "leveller",
    "drain",
    "pan",
    "mortar_bed",
    "board",
    "fixing",
    "waterproofing",
    "bed",
    "tile",
    "grout",
    "sealant",
    "trim",
    "cleaning",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Layer:
    """One layer of a build-up, from the substrate outwards.

    `role` is one of LAYER_ROLES; `material` a code of the price list (empty: labour
    only). `supplied_by` is us, client or others. `thickness` overrules the sheet's.
    `settings` holds what else the layer says, already read: joint, coats, notch
    and so on, under the names of the visit file; `typed` the same as it was typed.
    """

    role: str
    material: str = ""
    supplied_by: str = "us"
    thickness: Typed | None = None
    pattern: Mapping[str, object] = field(default_factory=dict)
    settings: Mapping[str, object] = field(default_factory=dict)
    typed: Mapping[str, object] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class BuildUp:
    """Ordered layers, from the substrate to the finished face."""

    key: str
    name: str
    layers: tuple[Layer, ...]


STAGES = {
    "preparation": 0,
    "leveller": 1,
    "drain": 1,
    "pan": 1,
    "mortar_bed": 1,
    "board": 2,
    "fixing": 2,
    "waterproofing": 3,
    "bed": 4,
    "tile": 5,
    "grout": 5,
    "trim": 5,
    "sealant": 6,
    "cleaning": 6,
}
"""The order of work in a space: a stage is done on all its surfaces before the next.
A layer is cut to what stands there when its turn comes."""

BOARD_STAGE = 2
LAST_STAGE = 6


def thickness_of(layer: Layer, catalogue: Mapping[str, MaterialFacts]) -> Length:
    """Return the thickness a layer adds: as typed, by its notch, or by its sheet.

    A pan and a sloped bed add none here: their height varies and is worked out where
    they are fitted. Rounds: a combed bed to the nearest tick.
    """
    if layer.thickness is not None:
        return layer.thickness.length
    if layer.role in _NO_THICKNESS:
        return NOTHING
    notch = layer.settings.get("notch")
    if isinstance(notch, Notch):
        angle = str(layer.settings.get("blade_angle", "45"))
        return Length.mm(combed_thickness(notch, angle))
    material = catalogue.get(layer.material)
    return length_in(material.facts, "thickness") if material else NOTHING


_NO_THICKNESS = ("pan", "drain", "grout", "sealant", "trim", "fixing", "cleaning")


def thickness_up_to(
    build_up: BuildUp, catalogue: Mapping[str, MaterialFacts], *, stage: int
) -> Length:
    """Return the thickness of all layers up to and with a stage."""
    return sum(
        (
            thickness_of(layer, catalogue)
            for layer in build_up.layers
            if STAGES[layer.role] <= stage
        ),
        start=NOTHING,
    )


def tile_layer(build_up: BuildUp) -> Layer | None:
    """Return the tile of a build-up, or None."""
    for layer in build_up.layers:
        if layer.role == "tile":
            return layer
    return None


def has_role(build_up: BuildUp | None, role: str) -> bool:
    """Return whether a build-up has a layer of a role."""
    return build_up is not None and any(layer.role == role for layer in build_up.layers)
