"""What model codes ask of a shower recess: size and fall, as cautions with a source.

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
