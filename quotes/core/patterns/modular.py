"""Modular: four sizes of one module, no cross of joints, no long straight joint."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from quotes.core.pattern import Face, Item, Lattice, Pattern, flat, oblong, upright

SIZES = ((3, 2), (2, 2), (2, 1), (1, 1))
"""The four items in modules, length by width."""

PLACES = (
    (0, 0, 2, 3),
    (2, -1, 2, 2),
    (4, 0, 1, 1),
    (7, -1, 2, 2),
    (9, 0, 1, 1),
    (14, -1, 1, 2),
)
"""One cell of 18 modules: x, y, width and height of what shows, in modules."""


def _build(
    tile: Mapping[str, int], joint: int, _: Mapping[str, Fraction | bool]
) -> Lattice:
    module = tile["module"]
    items: tuple[Item, ...] = tuple(
        oblong(f"{long}x{short}", long * module - joint, short * module - joint)
        for long, short in SIZES
    )
    faces: list[Face] = []
    for x, y, width, height in PLACES:
        if width >= height:
            item = SIZES.index((width, height))
            faces.append(flat(item, x * module, y * module))
        else:
            item = SIZES.index((height, width))
            across = width * module - joint
            faces.append(upright(item, x * module, y * module, width=across))
    return Lattice(
        u=(3 * module, module),
        v=(0, 6 * module),
        items=items,
        faces=tuple(faces),
        joint=joint,
        pitch=(3 * module, module),
        middle=((2 * module - joint) / 2, (3 * module - joint) / 2),
    )


PATTERN = Pattern(
    key="modular",
    label="Modular, four sizes",
    tile_keys=("module",),
    build=_build,
)
