"""Rules for the tile's joints and bond: offset, joint width, movement joints.

`joint_rules` says which figures hold and where each was printed. The product's own
sheet and the local rule go before every one of them.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from materials.core.errors import Refusal
from materials.core.kinds.tile import facts_of
from materials.core.lengths import INCH, Length
from materials.core.need import MaterialFacts, TileFacts
from materials.core.quantities import decimal_text, half_up, parse_number
from materials.core.sources import Source
from materials.core.working import length_in
from quotes.core.extents import LayerExtent
from quotes.core.joint_rules import SMALL_SIDE, JointRules
from quotes.core.taken import Caution

RULE_CODES = ("offset", "narrow_joint", "movement_joint")

HARSH = ("outdoors", "outdoors_frost", "under_water", "heated")
"""Where the shorter spacing of movement joints is taken."""

_READ = {"read": "", "quoted": ", read at second hand", "memory": ""}
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


def _rules(one: LayerExtent) -> JointRules:
    return one.placed.standing.rules


def _offset(
    one: LayerExtent, material: MaterialFacts, tile: TileFacts
) -> Iterator[Caution]:
    """Say where a long tile is offset further than the rule allows."""
    rules = _rules(one)
    if one.pattern.get("name") != "running_bond" or _long(tile) <= rules.long_side:
        return
    offset = _number(one.pattern.get("offset", "1/2"))
    offset = min(offset % 1, 1 - offset % 1)
    if offset > rules.offset_allowed:
        most = decimal_text(rules.most_offset * 100, places=1)
        yield _caution(
            one,
            "offset",
            f"{material.name} has a side over {_said(one, rules.long_side)}: rows "
            f"offset by more than {most} % stand proud of each other unless the maker "
            "allows it",
            rules.offset_source,
        )


def least_joint(variation: Length, rules: JointRules, longest: Length) -> Length:
    """Return the narrowest joint for a variation of the tile's face.

    Source: the rules': so many times the variation, never below their least.
    Rounds: to a tick, halves up.
    """
    least = rules.small_joint if longest <= SMALL_SIDE else rules.least_joint
    times = Length(int(half_up(variation.ticks * rules.joint_times)))
    return max(least, times)


def _joint(
    one: LayerExtent, material: MaterialFacts, tile: TileFacts
) -> Iterator[Caution]:
    if tile.chip_length:
        return
    rules, longest = _rules(one), _long(tile)
    variation = length_in(material.facts, "variation")
    floor = least_joint(Length(0), rules, longest)
    least = least_joint(variation, rules, longest)
    bond = one.pattern.get("name") == "running_bond" and longest > rules.long_side
    least = max(least, rules.bond_joint) if bond else least
    # A sixteenth is 1.6 mm: a tape and a spacer cannot tell it from 1.5.
    if tile.joint.ticks + INCH // 128 < least.ticks:
        times = _times_words(rules.joint_times)
        why = (
            f"the tiles differ by up to {_said(one, variation)}, and a joint is at "
            f"least {times} that"
            if variation
            else f"measure how much the tiles differ, a joint is at least {times} that"
        )
        yield _caution(
            one,
            "narrow_joint",
            f"the joint of {_said(one, tile.joint)} is below {_said(one, least)}; "
            f"{why}",
            rules.least_source if least == floor else rules.times_source,
        )


def _times_words(times: Fraction) -> str:
    return "three times" if times == 3 else f"{decimal_text(times, places=2)} times"


def _movement(one: LayerExtent) -> Iterator[Caution]:
    extent, rules = one.extent, _rules(one)
    most = rules.outside if extent.exposure in HARSH else rules.inside
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
            rules.movement_source,
        )


def _caution(one: LayerExtent, code: str, words: str, source: Source) -> Caution:
    return Caution(
        code=code,
        sentence=(
            f"{one.extent.place}: {words} ({source}{_READ[source.confidence]}; "
            f"{_LOCAL})."
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
