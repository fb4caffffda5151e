"""The published JSON Schema of a layout file and of what is written back."""

from __future__ import annotations

from typing import Any

from quotes.core.layout.records import EDGE_KINDS
from quotes.core.layout.setout import AIMS
from quotes.core.patterns import PATTERNS

NUMBER: dict[str, Any] = {
    "description": "A number as JSON writes it, or a text: 12, 12.5, 1/3, 12 1/2.",
    "type": ["number", "string"],
}

POINT: dict[str, Any] = {
    "description": "x to the right and y up, in the file's unit.",
    "type": "array",
    "items": NUMBER,
    "minItems": 2,
    "maxItems": 2,
}

RING: dict[str, Any] = {
    "description": "Corners in order, either way round, the first not repeated.",
    "type": "array",
    "items": POINT,
    "minItems": 3,
    "maxItems": 5000,
}

ORIGIN: dict[str, Any] = {
    "description": "Where the pattern's first face begins, or what to search for.",
    "anyOf": [POINT, {"enum": list(AIMS)}],
}

SWITCH: dict[str, Any] = {"type": "boolean", "default": False}


def _closed(properties: dict[str, Any], required: tuple[str, ...]) -> dict[str, Any]:
    return {
        "type": "object",
        "properties": properties,
        "required": list(required),
        "additionalProperties": False,
    }


def _pattern_cases() -> list[dict[str, Any]]:
    """Return for every pattern what its tile and its own keys are."""
    cases = []
    for pattern in PATTERNS:
        own: dict[str, Any] = {"name": {"const": pattern.key}, "angle": NUMBER}
        required = ["name"]
        for parameter in pattern.parameters:
            kind = SWITCH if parameter.kind == "switch" else NUMBER
            own[parameter.name] = {**kind, "description": parameter.help}
            if parameter.default is None:
                required.append(parameter.name)
        tile = dict.fromkeys(pattern.tile_keys, NUMBER)
        cases.append(
            {
                "properties": {
                    "pattern": _closed(own, tuple(required)),
                    "tile": _closed(tile, pattern.tile_keys),
                }
            }
        )
    return cases


SURFACE: dict[str, Any] = _closed(
    {
        "outer": RING,
        "holes": {"type": "array", "items": RING},
        "edges": {
            "description": "One entry for each side of outer.",
            "type": "array",
            "items": {"enum": list(EDGE_KINDS)},
        },
        "origin": ORIGIN,
    },
    ("outer",),
)

SCHEMA: dict[str, Any] = {
    "$schema": "https://json-schema.org/draft/2020-12/schema",
    "title": "Tiles on measured surfaces",
    **_closed(
        {
            "unit": {"enum": ["mm", "in"]},
            "surfaces": {"type": "array", "items": SURFACE, "minItems": 1},
            "tile": {"type": "object"},
            "joint": NUMBER,
            "pattern": {"type": "object"},
            "origin": ORIGIN,
            "kerf": {**NUMBER, "default": "0"},
            "tolerance": {**NUMBER, "description": "Default: 0.05 mm."},
            "directional": SWITCH,
            "gap": {**NUMBER, "default": "0"},
            "slide": SWITCH,
        },
        ("unit", "surfaces", "tile", "joint", "pattern"),
    ),
    "oneOf": _pattern_cases(),
}

COUNT: dict[str, Any] = {"type": "integer", "minimum": 0}
LENGTH: dict[str, Any] = {"type": "string", "pattern": r"^-?[0-9]+(\.[0-9]{1,6})?$"}

TILES: dict[str, Any] = _closed(
    {
        "area_bound": COUNT,
        "free": {"anyOf": [COUNT, {"type": "null"}]},
        "strict": COUNT,
        "no_reuse": COUNT,
    },
    ("area_bound", "free", "strict", "no_reuse"),
)

PIECES: dict[str, Any] = {
    "type": "array",
    "items": _closed(
        {
            "item": {"type": "string"},
            "width": LENGTH,
            "height": LENGTH,
            "area": LENGTH,
            "count": COUNT,
        },
        ("item", "width", "height", "area", "count"),
    ),
}

_OUTLINE: dict[str, Any] = {
    "type": "array",
    "minItems": 3,
    "items": {"type": "array", "items": LENGTH, "minItems": 2, "maxItems": 2},
}

_ITEM: dict[str, Any] = _closed(
    {
        "full": COUNT,
        "cut": COUNT,
        "tiles": TILES,
        "proven": {"type": "boolean"},
        "lower_bound": COUNT,
    },
    ("full", "cut", "tiles", "proven", "lower_bound"),
)

_TILE: dict[str, Any] = _closed(
    {
        "item": {"type": "string"},
        "pieces": {
            "type": "array",
            "minItems": 1,
            "maxItems": 4,
            "items": _closed(
                {
                    "surface": COUNT,
                    "outline": _OUTLINE,
                    "turn": {"type": "integer", "minimum": 0, "maximum": 359},
                },
                ("surface", "outline", "turn"),
            ),
        },
    },
    ("item", "pieces"),
)

_ANSWER: dict[str, Any] = {
    "full": COUNT,
    "cut": COUNT,
    "tiles": TILES,
    "proven": {"type": "boolean"},
    "lower_bound": COUNT,
    "smallest_cut": {"anyOf": [LENGTH, {"type": "null"}]},
    "waste": LENGTH,
    "pieces": PIECES,
    "joint_area": LENGTH,
    "joint_length": LENGTH,
    "items": {"type": "object", "additionalProperties": _ITEM},
    "absorbed": PIECES,
    "origin": {
        "type": "array",
        "items": {"type": "array", "items": LENGTH, "minItems": 2, "maxItems": 2},
    },
    "plan": {"type": "array", "items": _TILE},
}

ANSWER_SCHEMA: dict[str, Any] = {
    "$schema": "https://json-schema.org/draft/2020-12/schema",
    "title": "What a layout comes to",
    **_closed(_ANSWER, tuple(_ANSWER)),
}
