"""Length: an exact number of ticks, read and printed as a setter says it.

One tick is 1/1920 mm: the coarsest lattice on which millimetres, 1/64 in and the
halves, thirds and sixths of both are whole numbers. Two constants carry the idea:
1 mm = 1,920 ticks and 1 in = 48,768 ticks (1 in = 25.4 mm exactly).
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import NewType

from materials.core import length_reader
from materials.core.areas import Area
from materials.core.errors import OutOfRange
from materials.core.quantities import decimal_text, half_up, parse_number

Ticks = NewType("Ticks", int)

MM = length_reader.MM
INCH = length_reader.INCH
FOOT = length_reader.FOOT
METRE = length_reader.METRE

IMPERIAL = "imperial"
METRIC = "metric"

LARGEST = length_reader.LARGEST
"""Nothing on a building is ten kilometres long."""


@dataclass(frozen=True, slots=True, order=True)
class Length:
    """An exact length: a whole number of ticks (1 tick = 1/1920 mm)."""

    ticks: int

    def __post_init__(self) -> None:
        """Refuse anything but an int: no float and no library's number slips in."""
        if type(self.ticks) is not int:
            raise TypeError(f"A length is whole ticks, not {self.ticks!r}.")

    @classmethod
    def mm(cls, value: str | int | Fraction, *, exact: bool = False) -> Length:
        """Return a length of so many millimetres, to the nearest tick.

        Raises: NotANumber for a text that is no number; OutOfRange when `exact` is
        asked for and the value is not a whole number of ticks.
        """
        return cls._at(value, MM, exact)

    @classmethod
    def inch(cls, value: str | int | Fraction, *, exact: bool = False) -> Length:
        """Return a length of so many inches, to the nearest tick."""
        return cls._at(value, INCH, exact)

    @classmethod
    def _at(cls, value: str | int | Fraction, unit: int, exact: bool) -> Length:
        if isinstance(value, bool) or not isinstance(value, str | int | Fraction):
            raise TypeError(f"A length is made from text, int or Fraction: {value!r}.")
        number = parse_number(value) if isinstance(value, str) else Fraction(value)
        ticks = number * unit
        if exact and ticks.denominator != 1:
            raise OutOfRange(f"{value} is not a whole number of ticks.")
        return cls(int(half_up(ticks)))

    @classmethod
    def parse(cls, text: str, *, system: str) -> Length:
        """Return the length a person typed.

        Takes `75 1/2`, `6' 3-1/2"`, `6 3 1/2`, `1917`, `1.917 m`, `191.7 cm`, primes,
        fraction signs, and sums such as `48 + 27 1/2`. A bare number is in the home
        unit of `system`: inches for "imperial", millimetres for "metric".

        Rounds: to the nearest tick (0.26 µm at most), halves up.
        Raises: NotALength with what was not understood and what to try; OutOfRange
        above ten kilometres.
        """
        return cls(length_reader.ticks_of(text, imperial=system == IMPERIAL))

    def __add__(self, other: Length) -> Length:
        if not isinstance(other, Length):
            return NotImplemented
        return Length(self.ticks + other.ticks)

    def __sub__(self, other: Length) -> Length:
        if not isinstance(other, Length):
            return NotImplemented
        return Length(self.ticks - other.ticks)

    def __neg__(self) -> Length:
        return Length(-self.ticks)

    def __mul__(self, count: int) -> Length:
        if type(count) is not int:
            return NotImplemented
        return Length(self.ticks * count)

    __rmul__ = __mul__

    def by(self, other: Length) -> Area:
        """Return the rectangle's area."""
        return Area(self.ticks * other.ticks)

    def __truediv__(self, other: Length) -> Fraction:
        """Return the exact ratio of two lengths."""
        return Fraction(self.ticks, other.ticks)

    def __floordiv__(self, other: Length) -> int:
        """Return how many whole times the other length fits."""
        return self.ticks // other.ticks

    def __bool__(self) -> bool:
        return self.ticks != 0

    @property
    def in_mm(self) -> Fraction:
        """The length in millimetres, exactly."""
        return Fraction(self.ticks, MM)

    @property
    def in_m(self) -> Fraction:
        """The length in metres, exactly."""
        return Fraction(self.ticks, METRE)

    @property
    def in_inches(self) -> Fraction:
        """The length in inches, exactly."""
        return Fraction(self.ticks, INCH)

    @property
    def in_feet(self) -> Fraction:
        """The length in feet, exactly."""
        return Fraction(self.ticks, FOOT)

    def nearest(self, step: Length) -> Length:
        """Return the nearest multiple of `step`, halves away from zero."""
        return Length(int(half_up(Fraction(self.ticks), Fraction(step.ticks))))

    def not_longer_than(self, step: Length) -> Length:
        """Return the multiple of `step` just below or equal: a piece to fit."""
        return Length(self.ticks // step.ticks * step.ticks)

    def not_shorter_than(self, step: Length) -> Length:
        """Return the multiple of `step` just above or equal: a thing to buy."""
        return Length(-(-self.ticks // step.ticks) * step.ticks)

    def text(self, system: str, *, denominator: int = 16) -> str:
        """Return the length for reading: `6′ 3 1/2″`, `11 1/16″` or `1917 mm`.

        Feet always come with inches, joined by a no-break space. For a person, not
        for reading back: use `exact_text` for that.

        Rounds: nearest 1/`denominator` in, or nearest 0.1 mm; halves away from zero.
        """
        if system == METRIC:
            return f"{decimal_text(self.in_mm, places=1)}\u00a0mm"
        step = Length(INCH // denominator)
        return _feet_and_inches(self.nearest(step).ticks)

    def exact_text(self, system: str) -> str:
        """Return a text that `parse` reads back to the same ticks, in either system.

        A length below zero, which nobody measures, is written with a minus that
        `parse` refuses.
        """
        if system == IMPERIAL and self.ticks % (INCH // 64) == 0:
            return _feet_and_inches(self.ticks)
        sign = "-" if self.ticks < 0 else ""
        whole, rest = divmod(abs(self.ticks), MM)
        if not rest:
            return f"{sign}{whole} mm"
        part = Fraction(rest, MM)
        if 10_000 % part.denominator == 0:
            return f"{decimal_text(self.in_mm, places=4)} mm"
        fraction = f"{part.numerator}/{part.denominator}"
        return f"{sign}{whole} {fraction} mm" if whole else f"{sign}{fraction} mm"

    def __repr__(self) -> str:
        return f"Length({self.exact_text(IMPERIAL)!r})"


NOTHING = Length(0)


def split_inches(ticks: int, *, denominator: int = 16) -> tuple[int, int, int, int]:
    """Return feet, whole inches, numerator and denominator of a length.

    Rounds: to the nearest 1/`denominator` in, halves away from zero; sign dropped.
    Shape: the fraction is in lowest terms; a numerator of 0 means no fraction.
    """
    step = INCH // denominator
    steps = (2 * abs(ticks) + step) // (2 * step)
    inches, rest = divmod(steps, denominator)
    feet, inches = divmod(inches, 12)
    part = Fraction(rest, denominator)
    return feet, inches, part.numerator, part.denominator


def _feet_and_inches(ticks: int) -> str:
    sign = "-" if ticks < 0 else ""
    feet, inches, numerator, denominator = split_inches(ticks, denominator=64)
    fraction = f"{numerator}/{denominator}" if numerator else ""
    number = f"{inches} {fraction}" if inches and fraction else fraction or f"{inches}"
    if not feet:
        return f"{sign}{number}″"
    return (
        f"{sign}{feet}′\u00a0{number if inches or not fraction else f'0 {fraction}'}″"
    )
