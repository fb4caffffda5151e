"""Chevron: parallelograms rise to a ridge; right and left hand are two items."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from materials.core.errors import OutOfRange
from quotes.core.geometry import Point, cosine_sine
from quotes.core.pattern import (
    OBLONG_TURNS,
    Face,
    Item,
    Lattice,
    Parameter,
    Pattern,
)


def _build(
    tile: Mapping[str, int], joint: int, parameters: Mapping[str, Fraction | bool]
) -> Lattice:
    slope = Fraction(parameters["slope"])
    if not 5 <= slope <= 80:
        raise OutOfRange(
            f"pattern.slope is {slope}; give the rise of the tile in degrees, "
            "from 5 to 80.",
            field="pattern.slope",
        )
    length, width = tile["length"], tile["width"]
    cosine, sine = cosine_sine(slope)
    run, rise, end = length * cosine, length * sine, width / cosine
    column = run + joint
    up = (width + joint) / cosine
    right: tuple[Point, ...] = (
        (0, 0), (run, rise), (run, rise + end), (0, end),
    )  # fmt: skip
    left = ((0, rise), (run, 0), (run, end), (0, rise + end))
    middle = (run / 2, (rise + end) / 2)
    return Lattice(
        u=(2 * column, 0),
        v=(0, up),
        items=(_hand("right", right, middle), _hand("left", left, middle)),
        faces=(Face(item=0, at=(0, 0)), Face(item=1, at=(column, 0))),
        joint=joint,
        pitch=(column, up),
        middle=middle,
    )


def _hand(name: str, outline: tuple[Point, ...], middle: Point) -> Item:
    return Item(
        name=name,
        outline=outline,
        turns=OBLONG_TURNS,
        centre=middle,
        is_oblong=False,
    )


PATTERN = Pattern(
    key="chevron",
    label="Chevron",
    tile_keys=("length", "width"),
    build=_build,
    parameters=(
        Parameter(
            name="slope",
            kind="number",
            help="the rise of each tile in degrees, 45 for a right angle at the ridge",
        ),
    ),
)
