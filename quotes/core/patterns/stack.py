"""Stack bond: every joint runs through, both ways."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from quotes.core.pattern import Lattice, Pattern, flat, oblong


def _build(
    tile: Mapping[str, int], joint: int, _: Mapping[str, Fraction | bool]
) -> Lattice:
    length, width = tile["length"], tile["width"]
    across, up = length + joint, width + joint
    return Lattice(
        u=(across, 0),
        v=(0, up),
        items=(oblong("tile", length, width),),
        faces=(flat(0, 0, 0),),
        joint=joint,
        pitch=(across, up),
        middle=(length / 2, width / 2),
    )


PATTERN = Pattern(
    key="stack",
    label="Stack bond",
    tile_keys=("length", "width"),
    build=_build,
    least_cut=lambda _: Fraction(1, 2),
)
