"""Octagon and dot: regular octagons with a small square on its point between them."""

from __future__ import annotations

import math
from collections.abc import Mapping
from fractions import Fraction

from quotes.core.geometry import Number, turned
from quotes.core.pattern import (
    OCTAGON_TURNS,
    SQUARE_TURNS,
    Face,
    Item,
    Lattice,
    Pattern,
    refuse_ratio,
)


def _build(
    tile: Mapping[str, int], joint: int, _: Mapping[str, Fraction | bool]
) -> Lattice:
    across = tile["across"]
    step = across + joint
    corner = across * (2 - math.sqrt(2)) / 2
    side = 2 * ((corner + joint) / math.sqrt(2) - joint)
    if side <= 0:
        raise refuse_ratio(
            "joint leaves no room for the dot between octagons of tile.across; "
            "give a narrower joint.",
            field="joint",
        )
    # The square's frame starts at its lower left corner, which after the eighth turn
    # is its lowest point.
    lowest_x, lowest_y = turned((side / 2, side / 2), 45)
    at = (step / 2 - lowest_x, step / 2 - lowest_y)
    return Lattice(
        u=(step, 0),
        v=(0, step),
        items=(_octagon(across, corner), _square(side)),
        faces=(Face(item=0, at=(0, 0)), Face(item=1, at=at, turn=45)),
        joint=joint,
        pitch=(step, step),
        middle=(0, 0),
    )


def _octagon(across: int, corner: Number) -> Item:
    half = across / 2
    short = half - corner
    return Item(
        name="octagon",
        outline=(
            (half, -short),
            (half, short),
            (short, half),
            (-short, half),
            (-half, short),
            (-half, -short),
            (-short, -half),
            (short, -half),
        ),
        turns=OCTAGON_TURNS,
        centre=(0, 0),
        is_oblong=False,
    )


def _square(side: Number) -> Item:
    return Item(
        name="dot",
        outline=((0, 0), (side, 0), (side, side), (0, side)),
        turns=SQUARE_TURNS,
        centre=(side / 2, side / 2),
        is_oblong=True,
    )


PATTERN = Pattern(
    key="octagon_dot",
    label="Octagon and dot",
    tile_keys=("across",),
    build=_build,
)
