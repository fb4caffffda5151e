"""Build-ups: the ordered layers chosen for a surface, from the substrate outwards."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

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
