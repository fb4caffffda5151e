"""Herringbone: tiles meet end to side at a right angle, single, double or more."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from quotes.core.pattern import (
    Lattice,
    Parameter,
    Pattern,
    flat,
    oblong,
    refuse_ratio,
    upright,
    whole_number,
)


def _build(
    tile: Mapping[str, int], joint: int, parameters: Mapping[str, Fraction | bool]
) -> Lattice:
    length, width = tile["length"], tile["width"]
    count = whole_number(parameters, "n", least=1, most=8)
    along, step = length + joint, width + joint
    bundle = count * step
    if along < bundle:
        raise refuse_ratio(
            f"A herringbone of {count} needs a tile at least {count} widths and "
            "joints long; turn the tile or lay fewer side by side.",
            field="tile.length",
        )
    lying = tuple(flat(0, 0, k * step) for k in range(count))
    standing = tuple(
        upright(0, along + k * step, bundle - along, width=width) for k in range(count)
    )
    return Lattice(
        u=(bundle, bundle),
        v=(along, -along),
        items=(oblong("tile", length, width),),
        faces=lying + standing,
        joint=joint,
        pitch=(along, step),
        middle=(length / 2, width / 2),
    )


PATTERN = Pattern(
    key="herringbone",
    label="Herringbone",
    tile_keys=("length", "width"),
    build=_build,
    parameters=(
        Parameter(
            name="n",
            kind="number",
            help="how many tiles lie side by side before the turn",
            default=Fraction(1),
        ),
    ),
)
