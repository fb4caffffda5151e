"""Bare lengths of layers given their unit, so that another system reads them right."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from materials.core.errors import Refusal
from materials.core.lengths import Length

UNIT = {"imperial": '"', "metric": " mm"}
"""What a bare number means in each system, as it is written after one."""

LENGTHS = frozenset(
    {"thickness", "joint", "depth", "back_butter", "turn_up", "lap", "spacing",
     "edge_spacing", "width", "land"}
)  # fmt: skip
"""What is a length in a layer and in its notch."""


def with_units(layers: Sequence[Mapping[str, Any]], *, system: str) -> list[Any]:
    """Return layers whose bare lengths say the unit they were written in.

    A template says `1/4` and means inches in a business that works in inches; a visit
    read in millimetres would take the same figure for another length, or for none.

    Shape: as given; texts that say their unit, and texts that are no length, stay.
    """
    return [_marked(layer, system) for layer in layers]


def _marked(layer: Mapping[str, Any], system: str) -> dict[str, Any]:
    return {name: _value(name, value, system) for name, value in layer.items()}


def _value(name: str, value: Any, system: str) -> Any:
    if isinstance(value, Mapping):
        return _marked(value, system)
    if name == "origin" and isinstance(value, Sequence) and not isinstance(value, str):
        return [_sized(one, system) for one in value]
    return _sized(value, system) if name in LENGTHS else value


def _sized(value: Any, system: str) -> Any:
    """Return a bare length with its unit; anything else as it is."""
    text = str(value)
    marked = f"{text}{UNIT[system]}"
    try:
        meant = Length.parse(text, system=system)
        said = [Length.parse(marked, system=other) for other in UNIT]
    except Refusal:
        return value
    return marked if all(one == meant for one in said) else value
