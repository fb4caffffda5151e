"""Area: an exact number of square ticks."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from materials.core.quantities import decimal_text, fixed_text, half_up

TICKS2_PER_SQ_MM = 1920 * 1920
TICKS2_PER_SQ_M = TICKS2_PER_SQ_MM * 1_000_000
TICKS2_PER_SQ_IN = 48_768 * 48_768
TICKS2_PER_SQ_FT = 144 * TICKS2_PER_SQ_IN


@dataclass(frozen=True, slots=True, order=True)
class Area:
    """An exact area: a whole number of square ticks (1 tick = 1/1920 mm)."""

    ticks2: int

    def __post_init__(self) -> None:
        """Refuse anything but an int: no float and no library's number slips in."""
        if type(self.ticks2) is not int:
            raise TypeError(f"An area is whole square ticks, not {self.ticks2!r}.")

    @classmethod
    def sq_m_of(cls, value: Fraction) -> Area:
        """Return so many square metres as an area, halves of a square tick up."""
        return cls(int(half_up(value * TICKS2_PER_SQ_M)))

    @classmethod
    def sq_ft_of(cls, value: Fraction) -> Area:
        """Return so many square feet as an area, halves of a square tick up."""
        return cls(int(half_up(value * TICKS2_PER_SQ_FT)))

    @property
    def sq_m(self) -> Fraction:
        """The area in square metres, exactly."""
        return Fraction(self.ticks2, TICKS2_PER_SQ_M)

    @property
    def sq_ft(self) -> Fraction:
        """The area in square feet, exactly."""
        return Fraction(self.ticks2, TICKS2_PER_SQ_FT)

    @property
    def sq_in(self) -> Fraction:
        """The area in square inches, exactly."""
        return Fraction(self.ticks2, TICKS2_PER_SQ_IN)

    def __add__(self, other: Area) -> Area:
        if not isinstance(other, Area):
            return NotImplemented
        return Area(self.ticks2 + other.ticks2)

    def __sub__(self, other: Area) -> Area:
        if not isinstance(other, Area):
            return NotImplemented
        return Area(self.ticks2 - other.ticks2)

    def __neg__(self) -> Area:
        return Area(-self.ticks2)

    def __mul__(self, count: int) -> Area:
        if type(count) is not int:
            return NotImplemented
        return Area(self.ticks2 * count)

    __rmul__ = __mul__

    def __truediv__(self, other: Area) -> Fraction:
        """Return the exact ratio of two areas."""
        return Fraction(self.ticks2, other.ticks2)

    def __bool__(self) -> bool:
        return self.ticks2 != 0

    def text(self, system: str, *, places: int = 2) -> str:
        """Return the area with its unit: square feet or square metres.

        Units: `system` is "imperial" or "metric".
        Rounds: half up to `places`.
        """
        if system == "imperial":
            return f"{fixed_text(self.sq_ft, places=places)} sq ft"
        return f"{fixed_text(self.sq_m, places=places)} m²"

    def __repr__(self) -> str:
        return f"Area({decimal_text(self.sq_m, places=4)} m²)"


NO_AREA = Area(0)
