"""The published JSON Schema of a cutting file."""

from __future__ import annotations

from typing import Any

NUMBER: dict[str, Any] = {
    "description": "A number as JSON writes it, or a text: 12, 12.5, 1/3, 12 1/2.",
    "type": ["number", "string"],
}

COUNT: dict[str, Any] = {"type": "integer", "minimum": 1}

NAME: dict[str, Any] = {"type": "string", "minLength": 1, "maxLength": 200}


def _row(sides: tuple[str, ...], extra: dict[str, Any]) -> dict[str, Any]:
    properties = {"name": NAME, **dict.fromkeys(sides, NUMBER), **extra}
    return {
        "type": "object",
        "properties": properties,
        "required": ["name", *sides],
        "additionalProperties": False,
    }


def _file(sides: tuple[str, ...], extra: dict[str, Any]) -> dict[str, Any]:
    stock = {"price": NUMBER, "count": {"anyOf": [COUNT, {"type": "null"}]}}
    piece: dict[str, Any] = {"count": COUNT}
    if len(sides) == 2:
        piece["turn"] = {"type": "boolean"}
    return {
        "type": "object",
        "properties": {
            "unit": {"enum": ["in", "mm"]},
            "kerf": NUMBER,
            "snap": NUMBER,
            "seed": {"type": "integer", "minimum": 0, "maximum": 2**53},
            "stock": {"type": "array", "minItems": 1, "items": _row(sides, stock)},
            "pieces": {"type": "array", "minItems": 1, "items": _row(sides, piece)},
            **extra,
        },
        "required": ["unit", "stock", "pieces"],
        "additionalProperties": False,
    }


SHEETS = _file(
    ("width", "height"),
    {
        "bin": {"const": "sheet"},
        "leftover": {
            "anyOf": [
                {"type": "null"},
                {"type": "array", "items": NUMBER, "minItems": 2, "maxItems": 2},
            ]
        },
    },
)

LENGTHS = _file(
    ("length",),
    {
        "bin": {"const": "length"},
        "leftover": {
            "anyOf": [
                {"type": "null"},
                NUMBER,
                {"type": "array", "items": NUMBER, "minItems": 1, "maxItems": 1},
            ]
        },
    },
)

SCHEMA: dict[str, Any] = {
    "$schema": "https://json-schema.org/draft/2020-12/schema",
    "title": "A cutting job: stock and pieces",
    "if": {"properties": {"bin": {"const": "length"}}, "required": ["bin"]},
    "then": LENGTHS,
    "else": SHEETS,
}
