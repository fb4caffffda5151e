"""Length: an exact number of ticks, read and printed as a setter says it.

One tick is 1/1920 mm: the coarsest lattice on which millimetres, 1/64 in and the
halves, thirds and sixths of both are whole numbers. Two constants carry the idea:
1 mm = 1,920 ticks and 1 in = 48,768 ticks (1 in = 25.4 mm exactly).
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import NewType

from materials.core.areas import Area
from materials.core.errors import NotALength, OutOfRange
from materials.core.quantities import decimal_text, half_up, parse_number

Ticks = NewType("Ticks", int)

MM = 1_920
INCH = 48_768
FOOT = 12 * INCH
METRE = 1_000 * MM

IMPERIAL = "imperial"
METRIC = "metric"

LARGEST = 10_000 * METRE
"""Nothing on a building is ten kilometres long."""

_GLYPHS = {
    "½": "1/2", "⅓": "1/3", "⅔": "2/3", "¼": "1/4", "¾": "3/4", "⅕": "1/5",
    "⅖": "2/5", "⅗": "3/5", "⅘": "4/5", "⅙": "1/6", "⅚": "5/6", "⅛": "1/8",
    "⅜": "3/8", "⅝": "5/8", "⅞": "7/8",
}  # fmt: skip
_NICE = {value: glyph for glyph, value in _GLYPHS.items() if value[-1] in "248"}

_TOKEN = re.compile(
    r"\s*(?:"
    r"(?P<frac>[0-9]{1,6}[/\u2044][0-9]{1,6})"
    r"|(?P<glyph>[½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞])"
    r"|(?P<num>[0-9]{1,9}(?:\.[0-9]{1,9})?|\.[0-9]{1,9})"
    r"|(?P<inch>\"|″|”|''|′′|’’|inches|inch|in\b\.?)"
    r"|(?P<foot>'|′|’|feet|foot|ft\b\.?)"
    r"|(?P<mm>mm)|(?P<cm>cm)|(?P<m>m\b)"
    r"|(?P<plus>\+)|(?P<dash>[-\u2010\u2011\u2012\u2013])"
    r")",
    re.ASCII | re.IGNORECASE,
)


@dataclass(frozen=True, slots=True, order=True)
class Length:
    """An exact length: a whole number of ticks (1 tick = 1/1920 mm)."""

    ticks: int

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
        return _Reader(text, system).length()

    def __add__(self, other: Length) -> Length:
        return Length(self.ticks + other.ticks)

    def __sub__(self, other: Length) -> Length:
        return Length(self.ticks - other.ticks)

    def __neg__(self) -> Length:
        return Length(-self.ticks)

    def __mul__(self, count: int) -> Length:
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
        """Return a text that `parse` reads back to the same ticks."""
        if system == IMPERIAL and self.ticks % (INCH // 64) == 0:
            return _feet_and_inches(self.ticks)
        sign = "-" if self.ticks < 0 else ""
        whole, rest = divmod(abs(self.ticks), MM)
        if not rest:
            return f"{sign}{whole} mm"
        part = Fraction(rest, MM)
        if 10_000 % part.denominator == 0:
            return f"{decimal_text(self.in_mm, places=4)} mm"
        return f"{sign}{whole} {part.numerator}/{part.denominator} mm"

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


class _Reader:
    """Read one length: a sum of terms, each metric, feet and inches, or bare."""

    def __init__(self, text: str, system: str) -> None:
        self.text = text
        self.system = system
        self.tokens = self._split(text)
        self.at = 0

    def _split(self, text: str) -> list[tuple[str, str]]:
        if len(text) > 80:
            raise NotALength(
                "That is too long for a length; write one, such as 75 1/2."
            )
        tokens = []
        place = 0
        stripped = text.rstrip()
        while place < len(stripped):
            match = _TOKEN.match(stripped, place)
            if match is None:
                rest = stripped[place:].strip()[:12]
                raise NotALength(
                    f"“{rest}” was not understood in “{text[:40]}”; {self._hint()}"
                )
            kind = str(match.lastgroup)
            tokens.append((kind, match[kind]))
            place = match.end()
        if not tokens:
            raise NotALength(f"No length was typed; {self._hint()}")
        return tokens

    def _hint(self) -> str:
        if self.system == IMPERIAL:
            return "write 75 1/2, 6' 3 1/2\" or 1917 mm."
        return "write 1917, 191.7 cm, 1.917 m or 6' 3 1/2\"."

    def _kind(self, ahead: int = 0) -> str:
        place = self.at + ahead
        return self.tokens[place][0] if place < len(self.tokens) else ""

    def _take(self) -> str:
        self.at += 1
        return self.tokens[self.at - 1][1]

    def length(self) -> Length:
        """Return the whole text as a length."""
        ticks = self._term()
        while self._kind() == "plus":
            self._take()
            ticks += self._term()
        if self.at < len(self.tokens):
            self._refuse()
        if ticks > LARGEST:
            raise OutOfRange(f"“{self.text[:40]}” is longer than ten kilometres.")
        return Length(int(half_up(ticks)))

    def _refuse(self) -> None:
        word = self.tokens[self.at][1] if self.at < len(self.tokens) else "the end"
        raise NotALength(
            f"“{word}” was not expected in “{self.text[:40]}”; {self._hint()}"
        )

    def _fraction(self) -> Fraction:
        kind, word = self.tokens[self.at]
        self.at += 1
        plain = _GLYPHS[word] if kind == "glyph" else word.replace("\u2044", "/")
        numerator, denominator = (int(part) for part in plain.split("/"))
        if denominator == 0:
            raise NotALength(f"“{word}” divides by zero; check the fraction.")
        return Fraction(numerator, denominator)

    def _value(self) -> Fraction:
        """Read a number, a fraction, or a number with its fraction."""
        if self._kind() in ("frac", "glyph"):
            return self._fraction()
        if self._kind() != "num":
            self._refuse()
        word = self._take()
        value = Fraction(word)
        if "." in word:
            return value
        if self._kind() == "dash" and self._kind(1) in ("frac", "glyph"):
            self._take()
        if self._kind() in ("frac", "glyph"):
            value += self._fraction()
        return value

    def _term(self) -> Fraction:
        value = self._value()
        kind = self._kind()
        if kind in ("mm", "cm", "m"):
            self._take()
            return value * {"mm": MM, "cm": 10 * MM, "m": METRE}[kind]
        if kind == "inch":
            self._take()
            return value * INCH
        if kind == "foot":
            self._take()
            return value * FOOT + self._inches_after_feet(value)
        if self.system == IMPERIAL and kind in ("num", "frac", "glyph"):
            return value * FOOT + self._inches_after_feet(value)
        return self._bare(value)

    def _bare(self, value: Fraction) -> Fraction:
        if self.system == IMPERIAL:
            return value * INCH
        earlier = self.tokens[self.at - 1][0]
        if earlier in ("frac", "glyph"):
            raise NotALength(
                f"“{self.text[:40]}” has a fraction without a unit; "
                "write 75.5 for millimetres or add ″ for inches."
            )
        return value * MM

    def _inches_after_feet(self, feet: Fraction) -> Fraction:
        if self._kind() == "dash" and self._kind(1) in ("num", "frac", "glyph"):
            self._take()
        if self._kind() not in ("num", "frac", "glyph"):
            return Fraction(0)
        if feet.denominator != 1:
            self._refuse()
        value = self._value()
        if self._kind() == "inch":
            self._take()
        elif self._kind() in ("mm", "cm", "m", "foot"):
            self._refuse()
        return value * INCH
