"""What model codes ask of a shower recess, and what its test water weighs.

Local code rules; these say which text was read, and never that a job is allowed.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from materials.core.areas import TICKS2_PER_SQ_IN, Area
from materials.core.lengths import Length
from materials.core.sources import Source

SIZE_SOURCE = Source(
    title="International Residential Code",
    edition="2021",
    place="P2708.1",
    confidence="quoted",
)
SLOPE_SOURCE = Source(
    title="International Residential Code", edition="2021", place="P2709.1"
)

# P2708.1: not less than 900 square inches and 30 inches in any way; or 25 inches in one
# way where the floor has at least 1,300 square inches.
LEAST_AREA = Area(900 * TICKS2_PER_SQ_IN)
LEAST_WAY = Length.inch(30, exact=True)
NARROW_AREA = Area(1300 * TICKS2_PER_SQ_IN)
NARROW_WAY = Length.inch(25, exact=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class SlopeLimits:
    """The least and the greatest fall of a floor, as rise over run."""

    least: Fraction
    most: Fraction
    source: Source


# P2709.1: one quarter to one half unit vertical in 12 units horizontal.
DWELLING_SLOPE = SlopeLimits(
    least=Fraction(1, 48), most=Fraction(1, 24), source=SLOPE_SOURCE
)


@dataclass(frozen=True, slots=True, kw_only=True)
class SizeCaution:
    """Why a recess is smaller than the model code asks, and where that is printed."""

    sentence: str
    source: Source


def size_caution(
    *, width: Length, depth: Length, area: Area, system: str = "imperial"
) -> SizeCaution | None:
    """Return a caution for a shower smaller than the model code's least, or None.

    Sizes are those of the finished floor, tile and all: take both walls' build-up off
    what was measured between studs. `width` and `depth` are the clear ways across.

    Source: International Residential Code 2021, P2708.1.
    """
    short = min(width, depth)
    if area >= LEAST_AREA and short >= LEAST_WAY:
        return None
    if area >= NARROW_AREA and short >= NARROW_WAY:
        return None
    reasons = []
    if area < LEAST_AREA:
        reasons.append(f"{area.text(system)} is less than {LEAST_AREA.text(system)}")
    if short < LEAST_WAY:
        reasons.append(f"{short.text(system)} is less than {LEAST_WAY.text(system)}")
    return SizeCaution(
        sentence=(
            f"Finished, this shower is smaller than the model code asks: "
            f"{' and '.join(reasons)}. Ask what the local code allows."
        ),
        source=SIZE_SOURCE,
    )


WATER_SOURCE = Source(
    title="ASTM D5957, flood testing of horizontal waterproofing",
    edition="1998, reapproved 2021",
    place="weight of water",
    confidence="quoted",
)
# 5.19 pounds on a square foot for each inch of water.
WATER_LB_PER_SQ_FT_INCH = Fraction(519, 100)
CUBIC_INCHES_PER_US_GALLON = 231
KG_PER_LB = Fraction(45_359_237, 100_000_000)


@dataclass(frozen=True, slots=True, kw_only=True)
class FloodWater:
    """The water of a flood test: how much, and what it weighs on the floor.

    Units: `gallons` are US gallons; all exact.
    """

    cubic_inches: Fraction
    gallons: Fraction
    pounds: Fraction
    source: Source

    @property
    def litres(self) -> Fraction:
        """The volume in litres."""
        return self.cubic_inches * Fraction(254, 100) ** 3 / 1000

    @property
    def kilograms(self) -> Fraction:
        """The weight in kilograms."""
        return self.pounds * KG_PER_LB


def flood_water(*, area: Area, depth: Length) -> FloodWater:
    """Return the water that stands on a floor in a flood test.

    The floor counts as level: to a fall, the depth is the mean depth.

    Source: ASTM D5957, as quoted: 5.19 lb/ft² for an inch of water.
    """
    cubic_inches = area.sq_in * depth.in_inches
    return FloodWater(
        cubic_inches=cubic_inches,
        gallons=cubic_inches / CUBIC_INCHES_PER_US_GALLON,
        pounds=area.sq_ft * depth.in_inches * WATER_LB_PER_SQ_FT_INCH,
        source=WATER_SOURCE,
    )
