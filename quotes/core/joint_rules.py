"""Which rules a tile's bond, joints and movement joints are held against.

Three sets stand here as they were printed or quoted, each figure with its source; a
business takes one of them and may put figures of its own in their place, under a name
of its own. The maker's sheet and the local rule go before all of them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction

from materials.core.lengths import INCH, METRE, Length
from materials.core.sources import Source

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
UK_MOVEMENT = Source(
    title="BS 5385-3",
    edition="quoted by pages of a trade association, 2024",
    place="bays inside up to 10 m, outside every 3 to 5 m",
    confidence="quoted",
)
EU_JOINTS = Source(
    title="VOB/C DIN 18352, joint widths",
    edition="quoted by trade articles",
    place="from 1 mm up to 10 cm of edge, from 2 mm above",
    confidence="quoted",
)
EU_MOVEMENT = Source(
    title="DIN 18157 and DIN 18352, fields",
    place="8 m inside, 5 m outside",
    confidence="memory",
)

LONG_SIDE = Length(15 * INCH)
MOST_OFFSET = Fraction(33, 100)
LEAST_JOINT = Length(INCH // 16)
VARIATION_TIMES = Fraction(3)
LEAST_BOND_JOINT = Length(INCH // 8)
INSIDE = Length(300 * INCH)
OUTSIDE = Length(144 * INCH)
NICHE_REACH = Length.mm(40)
"""How far an opening is moved at most: less than a stud's thickness."""

SMALL_SIDE = Length.mm(100)


@dataclass(frozen=True, slots=True, kw_only=True)
class JointRules:
    """The figures that hold, each with where it comes from.

    `of` names the published set below the business's own figures, which `typed` holds
    as they were typed. A tile with no side over SMALL_SIDE takes `small_joint`.
    `niche_reach` is how far an opening may be asked to move before framing.
    """

    of: str = "us"
    long_side: Length = LONG_SIDE
    most_offset: Fraction = MOST_OFFSET
    joint_times: Fraction = VARIATION_TIMES
    least_joint: Length = LEAST_JOINT
    small_joint: Length = LEAST_JOINT
    bond_joint: Length = LEAST_BOND_JOINT
    inside: Length = INSIDE
    outside: Length = OUTSIDE
    niche_reach: Length = NICHE_REACH
    offset_source: Source = JOINTS
    times_source: Source = JOINTS
    least_source: Source = JOINTS
    movement_source: Source = MOVEMENT
    typed: Mapping[str, str] = field(default_factory=dict)

    @property
    def offset_allowed(self) -> Fraction:
        """The largest offset let pass: 33 % as printed means a third."""
        return max(self.most_offset, _THIRD) if self._is_printed else self.most_offset

    @property
    def _is_printed(self) -> bool:
        return self.most_offset == MOST_OFFSET


_THIRD = Fraction(1, 3)

PUBLISHED: Mapping[str, JointRules] = {
    "us": JointRules(),
    "uk": JointRules(
        of="uk",
        inside=Length(10 * METRE),
        outside=Length(5 * METRE),
        movement_source=UK_MOVEMENT,
    ),
    "eu": JointRules(
        of="eu",
        least_joint=Length.mm(2),
        small_joint=Length.mm(1),
        least_source=EU_JOINTS,
        inside=Length(8 * METRE),
        outside=Length(5 * METRE),
        movement_source=EU_MOVEMENT,
    ),
}
"""Where a set prints nothing, the American figure stands in and names its source."""

SOURCE_OF = {
    "most_offset": "offset_source",
    "long_side": "offset_source",
    "joint_times": "times_source",
    "bond_joint": "times_source",
    "least_joint": "least_source",
    "inside": "movement_source",
    "outside": "movement_source",
}
"""The source that a figure of the business's own puts its name in the place of."""

_UK = ("GB", "IE", "IM", "JE", "GG")
_EU = (
    "AT", "BE", "BG", "CH", "CY", "CZ", "DE", "DK", "EE", "ES", "FI", "FR", "GR", "HR",
    "HU", "IS", "IT", "LI", "LT", "LU", "LV", "MT", "NL", "NO", "PL", "PT", "RO", "SE",
    "SI", "SK",
)  # fmt: skip


def usual_in(country: str) -> str:
    """Return the set that is taken in a country until the business chooses."""
    if country.upper() in _UK:
        return "uk"
    return "eu" if country.upper() in _EU else "us"
