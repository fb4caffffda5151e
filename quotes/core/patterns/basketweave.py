"""Basketweave: bundles of n tiles, lying and standing in turn."""

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
    count = whole_number(parameters, "n", least=2, most=12)
    _check_ratio(length, width, joint, count)
    snug = count * width + (count - 1) * joint
    block = max(length, snug) + joint
    inner = max(joint, (length - count * width) / (count - 1))
    step = width + inner
    lying = tuple(flat(0, 0, k * step) for k in range(count))
    standing = tuple(upright(0, block + k * step, 0, width=width) for k in range(count))
    at_ends = block - length
    note = ""
    if at_ends > joint:
        note = "The tile is short for this bundle: the joint at the tile ends is wider."
    elif inner > joint:
        note = "The tile is long for this bundle: the joints inside it are wider."
    return Lattice(
        u=(block, block),
        v=(block, -block),
        items=(oblong("tile", length, width),),
        faces=lying + standing,
        joint=joint,
        pitch=(block, block),
        middle=(length / 2, width / 2),
        widest_joint=max(at_ends, inner),
        note=note,
    )


def _check_ratio(length: int, width: int, joint: int, count: int) -> None:
    """Refuse a tile that does not weave.

    A tile of exactly n widths leaves no room for inner joints, so the joint at its
    ends grows to n joints: allowed and noted. Shorter tiles, or tiles so long that an
    inner joint would pass four joints and a fifth of the tile, are refused.
    """
    if length < count * width:
        raise refuse_ratio(
            f"A basketweave of {count} needs a tile at least {count} widths long; "
            "give another n or another tile.",
            field="tile.length",
        )
    spare = length - count * width
    if 5 * spare > (count - 1) * max(20 * joint, width):
        raise refuse_ratio(
            f"A basketweave of {count} would leave wide joints inside each bundle of "
            "this tile; give a larger n or another tile.",
            field="tile.length",
        )


PATTERN = Pattern(
    key="basketweave",
    label="Basketweave",
    tile_keys=("length", "width"),
    build=_build,
    parameters=(
        Parameter(
            name="n", kind="number", help="how many tiles make a bundle, 2 or more"
        ),
    ),
)
