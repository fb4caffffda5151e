"""Read a length as a setter types it, into whole ticks of 1/1920 mm.

The language, in words:

    length    one term, or terms joined by +
    term      value with mm, cm or m
              value with an inch mark (″ " '' in inch inches)
              value with a foot mark (′ ' ft foot feet), and if whole, inches < 12
              two bare numbers in an imperial business: whole feet, then inches below 12
              one bare number: inches or millimetres, the home unit of the business
    value     75   75.5   1/2   ½   75 1/2   75-1/2   75½

A fraction in bare millimetres, a minus, a comma, an exponent, other scripts' digits
and numbers of more than nine digits are refused with a sentence.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import NoReturn

from materials.core.errors import NotALength, OutOfRange
from materials.core.quantities import half_up

MM = 1_920
INCH = 48_768
FOOT = 12 * INCH
METRE = 1_000 * MM
LARGEST = 10_000 * METRE

MOST_LETTERS = 80

_GLYPHS = {
    "½": Fraction(1, 2), "⅓": Fraction(1, 3), "⅔": Fraction(2, 3),
    "¼": Fraction(1, 4), "¾": Fraction(3, 4), "⅕": Fraction(1, 5),
    "⅖": Fraction(2, 5), "⅗": Fraction(3, 5), "⅘": Fraction(4, 5),
    "⅙": Fraction(1, 6), "⅚": Fraction(5, 6), "⅛": Fraction(1, 8),
    "⅜": Fraction(3, 8), "⅝": Fraction(5, 8), "⅞": Fraction(7, 8),
}  # fmt: skip
_METRIC = {"mm": MM, "cm": 10 * MM, "m": METRE}

# A number is never cut in two: what follows it is no digit, point or stroke.
_TOKEN = re.compile(
    r"""\s*(?:
      (?P<frac> [0-9]{1,6} [/\u2044] [0-9]{1,6} (?![0-9./\u2044]) )
    | (?P<glyph> [½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞] )
    | (?P<num> (?: [0-9]{1,9} (?:\.[0-9]{1,9})? | \.[0-9]{1,9} ) (?![0-9./\u2044]) )
    | (?P<inch> "|″|”|“|''|′′|’’|inches\b|inch\b|in\b\.? )
    | (?P<foot> '|′|’|‘|feet\b|foot\b|ft\b\.? )
    | (?P<metric> mm\b|cm\b|m\b )
    | (?P<plus> \+ )
    | (?P<dash> [-\u2010\u2011\u2012\u2013\u2212] )
    )""",
    re.ASCII | re.IGNORECASE | re.VERBOSE,
)
_SPACES = str.maketrans("\u00a0\u2009\u202f", "   ")
_WORD_THEN_DIGIT = re.compile(r"(?<=[a-z])(?=[0-9])", re.ASCII | re.IGNORECASE)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Token:
    kind: str
    word: str
    tight: bool


_END = _Token(kind="", word="the end", tight=False)


def ticks_of(text: str, *, imperial: bool) -> int:
    r"""Return the ticks of a typed length.

    Rounds: the whole sum once, to the nearest tick, halves up.
    Raises: NotALength with what was not understood and what to try; OutOfRange
    above ten kilometres.
    Method: one pass over at most 80 letters, no backtracking.

    >>> ticks_of("6' 3 1/2\"", imperial=True) == ticks_of("75.5", imperial=True)
    True
    """
    return _Reader(text, imperial=imperial).ticks()


class _Reader:
    """One text, its tokens, and the place reached."""

    def __init__(self, text: str, *, imperial: bool) -> None:
        self.text = text
        self.imperial = imperial
        self.tokens = self._split(text)
        self.at = 0

    def _split(self, text: str) -> list[_Token]:
        if len(text) > MOST_LETTERS:
            raise NotALength(
                "That is too long for a length; write one, such as 75 1/2."
            )
        stripped = _WORD_THEN_DIGIT.sub(" ", text.translate(_SPACES).strip())
        tokens = []
        place = 0
        while place < len(stripped):
            match = _TOKEN.match(stripped, place)
            if match is None:
                self._not_understood(stripped[place:].strip())
            kind = str(match.lastgroup)
            tight = match.start(kind) == place
            tokens.append(_Token(kind=kind, word=match[kind], tight=tight))
            place = match.end()
        if not tokens:
            raise NotALength(f"No length was typed; {self._hint()}")
        return tokens

    def _hint(self) -> str:
        if self.imperial:
            return "write 75 1/2, 6' 3 1/2\" or 1917 mm."
        return "write 1917, 191.7 cm, 1.917 m or 6' 3 1/2\"."

    def _not_understood(self, rest: str) -> NoReturn:
        if "," in self.text:
            raise NotALength(
                f"“{self.text[:40]}” has a comma; write a point for decimals and "
                "nothing between thousands."
            )
        raise NotALength(
            f"“{rest[:12]}” was not understood in “{self.text[:40]}”; {self._hint()}"
        )

    def _refuse(self) -> NoReturn:
        raise NotALength(
            f"“{self._next().word}” was not expected in “{self.text[:40]}”; "
            f"{self._hint()}"
        )

    def _next(self, ahead: int = 0) -> _Token:
        place = self.at + ahead
        return self.tokens[place] if place < len(self.tokens) else _END

    def _take(self) -> str:
        self.at += 1
        return self.tokens[self.at - 1].word

    def ticks(self) -> int:
        """Return the whole text as ticks."""
        if self._next().kind == "dash":
            raise NotALength(
                f"“{self.text[:40]}” begins with a minus; a length is written without."
            )
        total = self._term()
        while self._next().kind == "plus":
            self._take()
            total += self._term()
        if self.at < len(self.tokens):
            self._refuse()
        if total > LARGEST:
            raise OutOfRange(
                f"“{self.text[:40]}” is longer than ten kilometres; check the unit."
            )
        return int(half_up(total))

    def _fraction(self) -> Fraction:
        word = self._take()
        if word in _GLYPHS:
            return _GLYPHS[word]
        numerator, denominator = word.replace("\u2044", "/").split("/")
        if int(denominator) == 0:
            raise NotALength(f"“{word}” divides by zero; check the fraction.")
        return Fraction(int(numerator), int(denominator))

    def _value(self) -> Fraction:
        """Read a number, a fraction, or a whole number with its fraction."""
        if self._next().kind in ("frac", "glyph"):
            return self._fraction()
        if self._next().kind != "num":
            self._refuse()
        word = self._take()
        value = Fraction(word)
        if "." in word:
            return value
        dash, after = self._next(), self._next(1)
        if dash.kind == "dash" and dash.tight:
            if after.kind in ("frac", "glyph") and after.tight:
                self._take()
            else:
                return value
        if self._next().kind in ("frac", "glyph"):
            value += self._fraction()
        return value

    def _term(self) -> Fraction:
        first = self._next()
        start = self.at
        value = self._value()
        whole = first.kind == "num" and self.at == start + 1 and "." not in first.word
        unit = self._next()
        if unit.kind == "metric":
            return value * _METRIC[self._take().lower()]
        if unit.kind == "inch":
            self._take()
            return value * INCH
        if unit.kind == "foot":
            self._take()
            return value * FOOT + self._inches_after_feet(whole=whole)
        if self.imperial and unit.kind == "num" and whole:
            return value * FOOT + self._inches_after_bare_feet()
        return self._bare(value)

    def _bare(self, value: Fraction) -> Fraction:
        if self.imperial:
            return value * INCH
        if self.tokens[self.at - 1].kind in ("frac", "glyph"):
            raise NotALength(
                f"“{self.text[:40]}” has a fraction without a unit; "
                "write 75.5 for millimetres or add ″ for inches."
            )
        return value * MM

    def _inches_after_feet(self, *, whole: bool) -> Fraction:
        """Read the inches that may follow a foot mark, with or without their own."""
        numbers = ("num", "frac", "glyph")
        if self._next().kind == "dash" and self._next(1).kind in numbers:
            self._take()
        if self._next().kind not in numbers:
            return Fraction(0)
        if not whole:
            self._refuse()
        inches = self._inches()
        if inches >= 12 * INCH:
            raise NotALength(
                f"“{self.text[:40]}” has twelve inches or more after its feet; "
                "read it again, or write the whole in inches."
            )
        return inches

    def _inches_after_bare_feet(self) -> Fraction:
        inches = self._inches()
        if inches >= 12 * INCH:
            raise NotALength(
                f"“{self.text[:40]}” would be feet and twelve inches or more; "
                "write a fraction as 1/2, or mark the feet with '."
            )
        return inches

    def _inches(self) -> Fraction:
        value = self._value()
        if self._next().kind == "inch":
            self._take()
        elif self._next().kind in ("metric", "foot"):
            self._refuse()
        return value * INCH
