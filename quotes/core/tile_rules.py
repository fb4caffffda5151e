"""Rules for the tile's joints and bond: offset, joint width, movement joints.

Each was printed somewhere and says where; all were read at second hand. The product's
own sheet and the local rule go before every one of them.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from materials.core.errors import Refusal
from materials.core.kinds.tile import facts_of
from materials.core.lengths import INCH, Length
from materials.core.need import MaterialFacts, TileFacts
from materials.core.quantities import parse_number
from materials.core.sources import Source
from materials.core.working import length_in
from quotes.core.extents import LayerExtent
from quotes.core.taken import Caution

JOINTS = Source(
    title="ANSI A108.02, joints and offset",
    edition="quoted by trade articles of 2017 and later",
    place="4.3.8",
    confidence="quoted",
)
MOVEMENT = Source(
    title="TCNA Handbook EJ171",
    edition="quoted by a contractors' manual of 2024/25",
    confidence="quoted",
)

LONG_SIDE = Length(15 * INCH)
MOST_OFFSET = Fraction(33, 100)
LEAST_JOINT = Length(INCH // 16)
VARIATION_TIMES = 3
LEAST_BOND_JOINT = Length(INCH // 8)
INSIDE = Length(300 * INCH)
OUTSIDE = Length(144 * INCH)

HARSH = ("outdoors", "outdoors_frost", "under_water", "heated")
"""Where the shorter spacing of movement joints is taken."""

_LOCAL = "the maker's sheet and the local rule go before it"


def tile_rules(one: LayerExtent, material: MaterialFacts) -> Iterator[Caution]:
    """Yield what a tiled part does against the printed rules, each with its source."""
    try:
        tile = facts_of(material, one.layer.settings)
    except Refusal:
        return
    yield from _offset(one, material, tile)
    yield from _joint(one, material, tile)
    yield from _movement(one)


def _offset(
    one: LayerExtent, material: MaterialFacts, tile: TileFacts
) -> Iterator[Caution]:
    """Say where a long tile is offset further than a third.

    The rule prints 33 %; a third is what it means, and is let pass.
    """
    if one.pattern.get("name") != "running_bond" or _long(tile) <= LONG_SIDE:
        return
    offset = _number(one.pattern.get("offset", "1/2"))
    offset = min(offset % 1, 1 - offset % 1)
    if offset > Fraction(1, 3):
        yield _caution(
            one,
            "offset",
            f"{material.name} has a side over {_said(one, LONG_SIDE)}: rows offset by "
            f"more than 33 % stand proud of each other unless the maker allows it",
            JOINTS,
        )


def least_joint(variation: Length) -> Length:
    """Return the narrowest joint for a variation of the tile's face.

    Source: JOINTS: three times the variation, never below 1/16 in.
    """
    return max(LEAST_JOINT, variation * VARIATION_TIMES)


def _joint(
    one: LayerExtent, material: MaterialFacts, tile: TileFacts
) -> Iterator[Caution]:
    if tile.chip_length:
        return
    variation = length_in(material.facts, "variation")
    least = least_joint(variation)
    bond = one.pattern.get("name") == "running_bond" and _long(tile) > LONG_SIDE
    least = max(least, LEAST_BOND_JOINT) if bond else least
    # A sixteenth is 1.6 mm: a tape and a spacer cannot tell it from 1.5.
    if tile.joint.ticks + INCH // 128 < least.ticks:
        why = (
            f"the tiles differ by up to {_said(one, variation)}, and a joint is at "
            "least three times that"
            if variation
            else "measure how much the tiles differ, a joint is at least three times "
            "that"
        )
        yield _caution(
            one,
            "narrow_joint",
            f"the joint of {_said(one, tile.joint)} is below {_said(one, least)}; "
            f"{why}",
            JOINTS,
        )


def _movement(one: LayerExtent) -> Iterator[Caution]:
    extent = one.extent
    most = OUTSIDE if extent.exposure in HARSH else INSIDE
    across = [x for x, _ in extent.outline]
    up = [y for _, y in extent.outline]
    longest = max(max(across) - min(across), max(up) - min(up))
    if longest > most.ticks:
        yield _caution(
            one,
            "movement_joint",
            f"the tile runs {_said(one, Length(longest))}; a movement joint is due "
            f"every {_said(one, most)} at most, at every change of plane and over "
            "every joint beneath; the designer says where",
            MOVEMENT,
        )


def _caution(one: LayerExtent, code: str, words: str, source: Source) -> Caution:
    return Caution(
        code=code,
        sentence=(
            f"{one.extent.place}: {words} ({source}, read at second hand; {_LOCAL})."
        ),
        place=one.extent.place,
        source=source,
    )


def _long(tile: TileFacts) -> Length:
    return max(tile.length, tile.width)


def _said(one: LayerExtent, length: Length) -> str:
    return length.text(one.placed.standing.system)


def _number(value: object) -> Fraction:
    return parse_number(value) if isinstance(value, str) else Fraction(0)
