"""Windmill: four oblongs turn about a small square."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from quotes.core.pattern import Lattice, Pattern, flat, oblong, refuse_ratio, upright


def _build(
    tile: Mapping[str, int], joint: int, _: Mapping[str, Fraction | bool]
) -> Lattice:
    length, width = tile["length"], tile["width"]
    square = length - width - joint
    if square <= 0:
        raise refuse_ratio(
            "A windmill needs a tile longer than its width and a joint; "
            "otherwise no square fits in the middle.",
            field="tile.length",
        )
    a, b = length + joint, width + joint
    return Lattice(
        u=(a + b, 0),
        v=(0, a + b),
        items=(oblong("oblong", length, width), oblong("square", square, square)),
        faces=(
            flat(0, 0, 0),
            upright(0, a, 0, width=width),
            flat(0, b, a),
            upright(0, 0, b, width=width),
            flat(1, b, b),
        ),
        joint=joint,
        pitch=(a + b, a + b),
        middle=(length / 2, width / 2),
    )


PATTERN = Pattern(
    key="windmill",
    label="Windmill",
    tile_keys=("length", "width"),
    build=_build,
)
