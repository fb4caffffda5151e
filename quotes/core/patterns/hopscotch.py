"""Hopscotch: a large and a small square, one of each, turning about each other."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from quotes.core.pattern import Lattice, Pattern, flat, oblong, refuse_ratio


def _build(
    tile: Mapping[str, int], joint: int, _: Mapping[str, Fraction | bool]
) -> Lattice:
    large, small = tile["length"], tile["small"]
    if small > large:
        raise refuse_ratio(
            "tile.small is larger than tile.length; give the small square as small.",
            field="tile.small",
        )
    a, b = large + joint, small + joint
    # The small square stands at (a, 0), right of the large one's foot. At (0, a) it
    # would lie under the large square that v carries there, which covers x from −b to
    # large − b: an overlap wherever the two sizes differ by more than a joint.
    return Lattice(
        u=(a, b),
        v=(-b, a),
        items=(oblong("large", large, large), oblong("small", small, small)),
        faces=(flat(0, 0, 0), flat(1, a, 0)),
        joint=joint,
        pitch=(a, a),
        middle=(large / 2, large / 2),
    )


PATTERN = Pattern(
    key="hopscotch",
    label="Hopscotch",
    tile_keys=("length", "small"),
    build=_build,
)
