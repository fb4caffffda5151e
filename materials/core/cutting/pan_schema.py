"""The published JSON Schema of a pan-fitting file."""

from __future__ import annotations

from typing import Any

NUMBER: dict[str, Any] = {
    "description": "A number as JSON writes it, or a text: 12, 12.5, 1/3, 12 1/2.",
    "type": ["number", "string"],
}
NAME: dict[str, Any] = {"type": "string", "minLength": 1, "maxLength": 200}
COUNT: dict[str, Any] = {"type": ["integer", "null"], "minimum": 1}
POINT: dict[str, Any] = {
    "type": "array",
    "items": NUMBER,
    "minItems": 2,
    "maxItems": 2,
}
OUTLINE: dict[str, Any] = {
    "description": "Corners in order, either direction, the last not repeated.",
    "type": "array",
    "items": POINT,
    "minItems": 3,
    "maxItems": 60,
}


def _record(properties: dict[str, Any], *required: str) -> dict[str, Any]:
    return {
        "type": "object",
        "properties": properties,
        "required": list(required),
        "additionalProperties": False,
    }


def _is_kind(kind: str) -> dict[str, Any]:
    return {"properties": {"kind": {"const": kind}}, "required": ["kind"]}


LINEAR_DRAIN = _record(
    {
        "kind": {"const": "linear"},
        "side": {
            "description": "Side i runs from corner i to the next, from 0.",
            "type": "integer",
            "minimum": 0,
        },
        "from": NUMBER,
        "length": NUMBER,
    },
    "kind",
    "side",
    "length",
)
POINT_DRAIN = _record({"kind": {"const": "point"}, "at": POINT}, "kind", "at")

TRIM: dict[str, Any] = {
    "description": (
        "The sides that may be cut, seen looking uphill: drain (near, front, thin), "
        "right, far (back, thick), left; or their numbers 0 to 3 in that order. "
        "All by default; the flat strip may always be cut away."
    ),
    "type": "array",
    "items": {
        "enum": [
            "drain",
            "right",
            "far",
            "left",
            "near",
            "front",
            "thin",
            "back",
            "thick",
            0,
            1,
            2,
            3,
        ],
    },
}

PAN = _record(
    {
        "name": NAME,
        "kind": {"enum": ["linear", "point"]},
        "width": NUMBER,
        "depth": NUMBER,
        "thin": NUMBER,
        "thick": NUMBER,
        "strip": NUMBER,
        "strip_drop": NUMBER,
        "drain_at": {
            "description": "Where the drain lies, from the pan's own lower left.",
            "anyOf": [POINT, NUMBER, {"type": "null"}],
        },
        "trim": TRIM,
        "price": NUMBER,
        "count": COUNT,
    },
    "name",
    "width",
    "depth",
    "thin",
    "thick",
)

BOARD = _record(
    {
        "name": NAME,
        "width": NUMBER,
        "depth": NUMBER,
        "height": NUMBER,
        "thick": NUMBER,
        "thickness": NUMBER,
        "price": NUMBER,
        "count": COUNT,
    },
    "name",
    "width",
)

MORTAR: dict[str, Any] = {
    "description": (
        "price is for one cubic unit of the file; least is the least thickness; bag "
        "the volume one bag makes; density in kilograms for a cubic metre."
    ),
    "anyOf": [
        {"type": "null"},
        _record(
            {
                "price": NUMBER,
                "price_per_volume": NUMBER,
                "least": NUMBER,
                "least_thickness": NUMBER,
                "bag": NUMBER,
                "density": NUMBER,
            }
        ),
    ],
}

SCHEMA: dict[str, Any] = {
    "$schema": "https://json-schema.org/draft/2020-12/schema",
    "title": "A floor to slope: recess, drain, pans, boards and mortar",
    **_record(
        {
            "unit": {"enum": ["in", "mm"]},
            "recess": OUTLINE,
            "drain": {
                "type": "object",
                "properties": {"kind": {"enum": ["linear", "point"]}},
                "required": ["kind"],
                "allOf": [
                    {"if": _is_kind("linear"), "then": LINEAR_DRAIN},
                    {"if": _is_kind("point"), "then": POINT_DRAIN},
                ],
            },
            "flat": {"type": "array", "items": OUTLINE, "maxItems": 20},
            "slope": _record({"min": NUMBER, "max": NUMBER}, "min", "max"),
            "run": {"enum": ["wall", "corner"]},
            "lowest": NUMBER,
            "pans": {"type": "array", "items": PAN, "maxItems": 100},
            "boards": {"type": "array", "items": BOARD, "maxItems": 100},
            "mortar": MORTAR,
            "leftover": {
                "description": "The smallest trimmed-off rectangle worth keeping.",
                "anyOf": [POINT, {"type": "null"}],
            },
            "currency": {
                "description": "ISO 4217; it decides the decimals of money.",
                "type": "string",
                "minLength": 3,
                "maxLength": 3,
            },
        },
        "unit",
        "recess",
        "drain",
    ),
}
