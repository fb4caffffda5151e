"""Layers of a build-up between their page and the visit file's words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

Plain = dict[str, Any]
MOST_LAYERS = 40
SPARE_ROWS = 2
TEXTS = ("thickness", "joint", "coats", "turn_up", "lap", "spacing", "loss", "along")
PATTERN = ("name", "offset", "angle", "n")
NOTCH = ("width", "depth")
SHOWN = {"role", "material", "supplied_by", "pattern", "notch", *TEXTS}


def layers_entry(posted: Mapping[str, str], before: Sequence[Plain]) -> list[Plain]:
    """Return the posted rows as layers; what the page has no field for is kept."""
    layers = []
    for place in range(MOST_LAYERS):
        start = f"layer_{place}_"
        role = posted.get(f"{start}role")
        if role is None:
            break
        if not role:
            continue
        kept = before[place] if place < len(before) else {}
        layer = {name: value for name, value in kept.items() if name not in SHOWN}
        layer |= {"role": role, **_texts(posted, start)}
        pattern = _pattern(posted, start, kept.get("pattern", {}))
        if pattern:
            layer["pattern"] = pattern
        notch = {
            name: posted[f"{start}notch_{name}"].strip()
            for name in NOTCH
            if posted.get(f"{start}notch_{name}", "").strip()
        }
        if notch:
            layer["notch"] = {**kept.get("notch", {}), **notch}
        layers.append(layer)
    return layers


def _texts(posted: Mapping[str, str], start: str) -> Plain:
    found: Plain = {
        name: posted[f"{start}{name}"].strip()
        for name in ("material", "supplied_by", *TEXTS)
        if posted.get(f"{start}{name}", "").strip()
    }
    if found.get("coats", "").isascii() and found.get("coats", "").isdigit():
        found["coats"] = int(found["coats"])
    return found


def _pattern(posted: Mapping[str, str], start: str, kept: Plain) -> Plain:
    name = posted.get(f"{start}pattern_name", "")
    if not name:
        return {}
    pattern = {part: value for part, value in kept.items() if part not in PATTERN}
    pattern["name"] = name
    for part in PATTERN[1:]:
        text = posted.get(f"{start}pattern_{part}", "").strip()
        if text:
            whole = part == "n" and text.isascii() and text.isdigit()
            pattern[part] = int(text) if whole else text
    return pattern


def layer_values(layers: Sequence[Plain]) -> dict[str, str]:
    """Return stored layers as the values of the page's fields."""
    values: dict[str, str] = {}
    for place, layer in enumerate(layers):
        start = f"layer_{place}_"
        for name in ("role", "material", "supplied_by", *TEXTS):
            values[f"{start}{name}"] = str(layer.get(name, ""))
        for part in PATTERN:
            values[f"{start}pattern_{part}"] = str(
                layer.get("pattern", {}).get(part, "")
            )
        for part in NOTCH:
            values[f"{start}notch_{part}"] = str(layer.get("notch", {}).get(part, ""))
    return values
