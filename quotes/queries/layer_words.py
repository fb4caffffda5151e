"""Layers of a build-up between their page and the visit file's words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

Plain = dict[str, Any]
MOST_LAYERS = 40
SPARE_ROWS = 2
TEXTS = ("thickness", "joint", "coats", "turn_up", "lap", "spacing", "loss", "along")
PATTERN = ("name", "offset", "angle", "n", "with")
NOTCH = ("width", "depth")


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
        if kept.get("role") != role:
            kept = {}
        layers.append({**kept, "role": role, **_changed(posted, start, kept)})
    return [_without_empty(layer) for layer in layers]


def _changed(posted: Mapping[str, str], start: str, kept: Plain) -> Plain:
    """Return what the page had fields for; emptied ones as None."""
    found: Plain = {
        name: posted[f"{start}{name}"].strip() or None
        for name in ("material", "supplied_by", *TEXTS)
        if f"{start}{name}" in posted
    }
    coats = found.get("coats")
    if isinstance(coats, str) and coats.isascii() and coats.isdigit():
        found["coats"] = int(coats)
    if f"{start}pattern_name" in posted:
        found["pattern"] = _pattern(posted, start, kept.get("pattern", {}))
    if f"{start}notch_width" in posted:
        found["notch"] = _notch(posted, start, kept.get("notch", {}))
    return found


def _without_empty(layer: Plain) -> Plain:
    return {name: value for name, value in layer.items() if value not in (None, {})}


def _notch(posted: Mapping[str, str], start: str, kept: Plain) -> Plain:
    sizes = {
        name: posted.get(f"{start}notch_{name}", "").strip()
        for name in NOTCH
        if posted.get(f"{start}notch_{name}", "").strip()
    }
    return {**kept, **sizes} if sizes else {}


def _pattern(posted: Mapping[str, str], start: str, kept: Plain) -> Plain:
    name = posted.get(f"{start}pattern_name", "")
    if not name:
        return {}
    same = kept.get("name") == name
    pattern: Plain = {**kept, "name": name} if same else {"name": name}
    for part in PATTERN[1:]:
        if f"{start}pattern_{part}" not in posted:
            continue
        text = posted[f"{start}pattern_{part}"].strip()
        whole = part == "n" and text.isascii() and text.isdigit()
        pattern[part] = int(text) if whole else text
        if part == "with":
            codes = [code.strip() for code in text.split(",")]
            pattern[part] = [code for code in codes if code]
    return {part: value for part, value in pattern.items() if value not in ("", [])}


def layer_values(layers: Sequence[Plain]) -> dict[str, str]:
    """Return stored layers as the values of the page's fields."""
    values: dict[str, str] = {}
    for place, layer in enumerate(layers):
        start = f"layer_{place}_"
        for name in ("role", "material", "supplied_by", *TEXTS):
            values[f"{start}{name}"] = str(layer.get(name, ""))
        for part in PATTERN:
            value = layer.get("pattern", {}).get(part, "")
            text = ", ".join(value) if isinstance(value, list) else str(value)
            values[f"{start}pattern_{part}"] = text
        for part in NOTCH:
            values[f"{start}notch_{part}"] = str(layer.get("notch", {}).get(part, ""))
    return values
