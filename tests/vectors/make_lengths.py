"""Make lengths.json: typed lengths and their ticks, or null for a refusal.

`python -m tests.vectors.make_lengths` writes the file anew. The ticks come from how a
text was put together (so many feet, so many sixteenths), never from a parser; the
refusals are a list by hand. Both parsers of the Python tests and the parser of the
phone are held to the file.

Each case is {"text", "system", "ticks"}: `system` is "imperial" or "metric", `ticks`
a whole number of 1/1920 mm, or null where the text must be refused.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path

PLACE = Path(__file__).with_name("lengths.json")
MM, INCH, FOOT = 1920, 48_768, 585_216
SYSTEMS = ("imperial", "metric")

Made = tuple[str, int]


def feet_and_inches() -> Iterator[Made]:
    """Texts with marks, the same in both systems."""
    for feet, inches, part in (
        (0, 0, (1, 2)), (0, 11, (3, 8)), (1, 0, (0, 1)), (5, 0, (1, 16)),
        (6, 3, (1, 2)), (7, 11, (3, 8)), (8, 0, (0, 1)), (12, 7, (31, 32)),
        (29, 4, (63, 64)),
    ):  # fmt: skip
        top, bottom = part
        ticks = feet * FOOT + inches * INCH + INCH * top // bottom
        fraction = f" {top}/{bottom}" if top else ""
        tight = f"-{top}/{bottom}" if top else ""
        yield f"{feet}' {inches}{fraction}\"", ticks
        yield f"{feet}'-{inches}{tight}\"", ticks
        yield f"{feet}′\u00a0{inches}{fraction}″", ticks
        yield f"{feet}’ {inches}{fraction}”", ticks
        yield f"{feet} ft {inches}{fraction} in", ticks
        yield f"{feet}ft{inches}{fraction}inches", ticks
        yield f"{feet} FEET {inches}{fraction}", ticks


def marked_inches() -> Iterator[Made]:
    """Inches with a mark, the same in both systems."""
    for whole, glyph, part in (
        (0, "½", (1, 2)), (3, "¼", (1, 4)), (12, "⅜", (3, 8)), (75, "⅞", (7, 8)),
        (96, "⅓", (1, 3)), (144, "⅔", (2, 3)),
    ):  # fmt: skip
        top, bottom = part
        ticks = whole * INCH + INCH * top // bottom
        yield f"{whole}{glyph}″", ticks
        yield f"{whole} {glyph} in.", ticks
        yield f"{whole} {top}⁄{bottom}''", ticks
        yield f"{whole}-{top}/{bottom} inch", ticks


def metric_units() -> Iterator[Made]:
    """Millimetres, centimetres and metres, the same in both systems."""
    for tenths in (1, 5, 25, 1_000, 9_144, 19_170, 24_384, 99_999):
        whole, rest = divmod(tenths, 10)
        ticks = tenths * MM // 10
        yield f"{whole}.{rest} mm", ticks
        yield f"{whole}.{rest}MM", ticks
        yield f"{tenths // 100}.{tenths % 100:02d}cm", ticks
        yield f"{tenths // 10_000}.{tenths % 10_000:04d} m", ticks


def sums() -> Iterator[Made]:
    """Sums, each term with its unit."""
    yield '48" + 27 1/2"', 48 * INCH + 55 * INCH // 2
    yield "4' + 27 1/2\"", 4 * FOOT + 55 * INCH // 2
    yield "6' 3 1/2\" + 6' 3 1/2\"", 151 * INCH
    yield "1 m + 3/4 in", 1000 * MM + 3 * INCH // 4
    yield "900 mm+10cm+1m", 2000 * MM
    yield "1/3 mm + 1/3 mm + 1/3 mm", MM


def rounded() -> Iterator[Made]:
    """Values between two ticks: the sum is rounded once, halves up."""
    for text, value in (
        ("0.1 in", Fraction(INCH, 10)),
        ("1.01 mm", Fraction(101 * MM, 100)),
        ("1/3840 mm", Fraction(1, 2)),
        ("1/3841 mm", Fraction(1920, 3841)),
        ("1/3840 mm + 1/3840 mm", Fraction(1)),
        ("1/7 in", Fraction(INCH, 7)),
        ("0.000000001 m", Fraction(1920, 10**6)),
        ("123.456789 mm", Fraction(123_456_789 * MM, 10**6)),
    ):
        yield text, (2 * value.numerator + value.denominator) // (2 * value.denominator)


def bare() -> Iterator[tuple[str, int | None, int | None]]:
    """Bare numbers: text, imperial ticks, metric ticks."""
    for number in (0, 1, 75, 96, 1917, 9999):
        yield str(number), number * INCH, number * MM
    yield "75.5", 151 * INCH // 2, 151 * MM // 2
    yield ".5", INCH // 2, MM // 2
    yield " 75 ", 75 * INCH, 75 * MM
    yield "40 + 35", 75 * INCH, 75 * MM
    yield "6' + 3", 75 * INCH, 6 * FOOT + 3 * MM
    for text, inches in (
        ("75 1/2", Fraction(151, 2)), ("75-1/2", Fraction(151, 2)),
        ("75½", Fraction(151, 2)), ("1/2", Fraction(1, 2)), ("3/2", Fraction(3, 2)),
        ("6 3", Fraction(75)), ("6 3 1/2", Fraction(151, 2)),
        ("6 3½", Fraction(151, 2)),
        ("6 0.5", Fraction(145, 2)), ("6 3 1/2\"", Fraction(151, 2)),
        ("6 11 15/16", Fraction(1343, 16)), ("48 + 27 1/2", Fraction(151, 2)),
    ):  # fmt: skip
        yield text, int(inches * INCH), None
    yield "75 12", None, None
    yield "6 12", None, None


REFUSED = [
    "", " ", "-5", "−5", "+5", "5 +", "5 + -3", "5 - 3", "75 - 1/2", "75- 1/2",
    "75 -1/2", "6-3", "6.5' 3",
    "6' 12", "6' 13\"", "6′ 12½″", "6 ft 30 in", "0' 12",
    "2/1' 3", "2/1 3", "6' 3 mm", "6' 3'", "6' 3\" 2", "5 m 50 cm", "5 mm'", "'", "\"",
    "mm", "1/0", "0/0", "6' 3 1/0\"", "1/2 1/2", "½½", "3.5½", "1.2.3", "1..2", "5.",
    ".", "1/2/3", "1/", "/2", "1 / 2", "1,905 m", "1.905,5", "1,000", "1e3", "1E-3",
    "1e400", "nan", "NaN", "inf", "Infinity", "-inf", "0x10", "1_000", "six feet",
    "٣", "५ in", "１２", "𝟗", "5 m²", "5 mm2", "5 in3", "5 km", "5 yd", "5%", "$5",
    "6\u200b3", "6\u202e3", "5\x00", "1" * 10, "0" * 9 + "1", "9" * 40,
    "1/1234567", "1234567/2", "1.1234567891", "1 " * 41, "10000.001 m",
    "999999999'", "6' 3'' 1/2", "6 3 1/2 1/2", "6''3'", "5 ft ft", "5 in in",
]  # fmt: skip


def cases() -> list[dict[str, str | int | None]]:
    """Return every case, in a fixed order."""
    found: list[dict[str, str | int | None]] = []
    for source in (feet_and_inches, marked_inches, metric_units, sums, rounded):
        for text, ticks in source():
            found += [
                {"text": text, "system": system, "ticks": ticks} for system in SYSTEMS
            ]
    for text, imperial, metric in bare():
        found.append({"text": text, "system": "imperial", "ticks": imperial})
        found.append({"text": text, "system": "metric", "ticks": metric})
    for text in REFUSED:
        found += [{"text": text, "system": system, "ticks": None} for system in SYSTEMS]
    return found


def written() -> str:
    """Return the file's text: one case a line, letters beyond ASCII escaped."""
    lines = ",\n".join(json.dumps(case) for case in cases())
    return f"[\n{lines}\n]\n"


if __name__ == "__main__":
    PLACE.write_text(written(), encoding="ascii")
