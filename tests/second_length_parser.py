"""A second parser of lengths, written apart from the first, by another technique.

The program reads token by token, left to right. This one never tokenises: it splits
at the plus signs and tries each term against a short list of whole-term patterns;
the first that fits in full gives the value. It answers ticks, or None for a refusal.
"""

from __future__ import annotations

import re
from fractions import Fraction

GLYPHS = {
    "½": "1/2", "⅓": "1/3", "⅔": "2/3", "¼": "1/4", "¾": "3/4", "⅕": "1/5",
    "⅖": "2/5", "⅗": "3/5", "⅘": "4/5", "⅙": "1/6", "⅚": "5/6", "⅛": "1/8",
    "⅜": "3/8", "⅝": "5/8", "⅞": "7/8",
}  # fmt: skip

WHOLE = r"\d{1,9}"
POINT = r"(?:\d{1,9}\.\d{1,9}|\.\d{1,9})"
SIMPLE = rf"(?:\d{{1,6}}[/⁄]\d{{1,6}}|[{''.join(GLYPHS)}])"
GLYPH = rf"[{''.join(GLYPHS)}]"
DASH = "[-‐‑‒–−]"
MIXED = rf"{WHOLE}(?: +{SIMPLE}|{DASH}{SIMPLE}|{GLYPH})"
VALUE = rf"(?:{MIXED}|{SIMPLE}|{POINT}|{WHOLE})"
INCH = r"(?:''|′′|’’|[\"″”“]|inches|inch|in\.|in)"
FOOT = r"(?:['′’‘]|feet|foot|ft\.|ft)"

METRIC_TERM = re.compile(rf"({VALUE}) *(mm|cm|m)", re.ASCII)
INCH_TERM = re.compile(rf"({VALUE}) *{INCH}", re.ASCII)
FOOT_TERM = re.compile(rf"({VALUE}) *{FOOT}", re.ASCII)
FOOT_INCH_TERM = re.compile(
    rf"({WHOLE}) *{FOOT} *{DASH}? *({VALUE}) *{INCH}?", re.ASCII
)
BARE_FOOT_INCH_TERM = re.compile(
    rf"({WHOLE}) +({MIXED}|{POINT}|{WHOLE}) *{INCH}?", re.ASCII
)
BARE_TERM = re.compile(rf"({VALUE})", re.ASCII)

NANOMETRES = {"mm": 1_000_000, "cm": 10_000_000, "m": 1_000_000_000}
INCH_NM = 25_400_000
TICK_NM = Fraction(1_000_000, 1920)


def value_of(text: str) -> Fraction | None:
    """Return a number, a fraction or a mixed number; None for a zero denominator."""
    for glyph, plain in GLYPHS.items():
        text = text.replace(glyph, f" {plain}")
    words = re.split(rf"(?: |{DASH})+", text.replace("⁄", "/").strip())
    total = Fraction(0)
    for word in words:
        if "/" in word and int(word.split("/")[1]) == 0:
            return None
        total += Fraction(word)
    return total


def term_of(term: str, *, imperial: bool) -> Fraction | None:
    """Return one term in nanometres."""
    if fits := METRIC_TERM.fullmatch(term):
        value = value_of(fits[1])
        return None if value is None else value * NANOMETRES[fits[2]]
    if fits := INCH_TERM.fullmatch(term):
        value = value_of(fits[1])
        return None if value is None else value * INCH_NM
    if fits := FOOT_INCH_TERM.fullmatch(term):
        inches = value_of(fits[2])
        if inches is None or inches >= 12:
            return None
        return (int(fits[1]) * 12 + inches) * INCH_NM
    if fits := FOOT_TERM.fullmatch(term):
        value = value_of(fits[1])
        return None if value is None else value * 12 * INCH_NM
    if fits := BARE_TERM.fullmatch(term):
        value = value_of(fits[1])
        if value is None or imperial:
            return None if value is None else value * INCH_NM
        fraction = "/" in term or "⁄" in term or bool(re.search(GLYPH, term))
        return None if fraction else value * NANOMETRES["mm"]
    fits = BARE_FOOT_INCH_TERM.fullmatch(term)
    if fits and imperial:
        inches = value_of(fits[2])
        if inches is not None and inches < 12:
            return (int(fits[1]) * 12 + inches) * INCH_NM
    return None


def ticks_of(text: str, *, imperial: bool) -> int | None:
    """Return the ticks of a typed length, or None where it must be refused."""
    if len(text) > 80:
        return None
    plain = re.sub("[\t\n\r\f\v\u00a0\u2009\u202f]", " ", text.strip()).lower()
    total = Fraction(0)
    for term in plain.split("+"):
        value = term_of(term.strip(" "), imperial=imperial)
        if value is None:
            return None
        total += value
    if total > 10_000 * NANOMETRES["m"]:
        return None
    ticks = total / TICK_NM
    return (2 * ticks.numerator + ticks.denominator) // (2 * ticks.denominator)
