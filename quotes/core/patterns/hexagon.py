"""Hexagon: regular six-sided tiles, two flats upright."""

from __future__ import annotations

import math
from collections.abc import Mapping
from fractions import Fraction

from quotes.core.pattern import HEXAGON_TURNS, Face, Item, Lattice, Pattern


def hexagon(name: str, across: int) -> Item:
    """Return a regular hexagon about zero, `across` ticks from flat to flat along x."""
    half = across / 2
    side = across / math.sqrt(3)
    return Item(
        name=name,
        outline=(
            (half, -side / 2),
            (half, side / 2),
            (0, side),
            (-half, side / 2),
            (-half, -side / 2),
            (0, -side),
        ),
        turns=HEXAGON_TURNS,
        centre=(0, 0),
        is_oblong=False,
    )


def _build(
    tile: Mapping[str, int], joint: int, _: Mapping[str, Fraction | bool]
) -> Lattice:
    step = tile["across"] + joint
    rise = step * math.sqrt(3) / 2
    return Lattice(
        u=(step, 0),
        v=(step / 2, rise),
        items=(hexagon("tile", tile["across"]),),
        faces=(Face(item=0, at=(0, 0)),),
        joint=joint,
        pitch=(step, rise),
        middle=(0, 0),
    )


PATTERN = Pattern(
    key="hexagon",
    label="Hexagon",
    tile_keys=("across",),
    build=_build,
)
