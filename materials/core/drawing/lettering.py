"""How lengths, areas and money are lettered in a drawing and on a page.

Eighths are ready glyphs. Sixteenths and finer are set by the face's own fraction
feature, inside an element of class `fr` that holds the fraction and nothing else, so
that a whole number can never run into it. The PDF engine does not apply that feature
inside a drawing (1 5/16 came out as 15/16, and a wrong fraction is a wrong cut), so
printed drawings use raised and lowered figures instead.
"""

from __future__ import annotations

import re
from html import escape

from materials.core.lengths import METRIC, Length, split_inches
from materials.core.quantities import decimal_text

NBSP = "\u00a0"
SLASH = "\u2044"
MINUS = "\u2212"

GLYPHS = {
    (1, 2): "½",
    (1, 4): "¼",
    (3, 4): "¾",
    (1, 8): "⅛",
    (3, 8): "⅜",
    (5, 8): "⅝",
    (7, 8): "⅞",
}
_RAISED = str.maketrans("0123456789", "⁰¹²³⁴⁵⁶⁷⁸⁹")
_LOWERED = str.maketrans("0123456789", "₀₁₂₃₄₅₆₇₈₉")

HTML = "html"
SVG = "svg"
RAISED = "raised"
PLAIN = "plain"
"""How a fraction without a ready glyph is set; PLAIN is for sentences read aloud."""


def fraction_words(numerator: int, denominator: int, *, setting: str) -> str:
    """Return a proper fraction as lettered; an empty text for a numerator of nought.

    Shape: markup for HTML and SVG, plain text for RAISED and PLAIN.
    """
    if numerator == 0:
        return ""
    if setting == PLAIN:
        return f"{numerator}/{denominator}"
    glyph = GLYPHS.get((numerator, denominator))
    if glyph is not None:
        return glyph
    if setting == RAISED:
        up = str(numerator).translate(_RAISED)
        return f"{up}{SLASH}{str(denominator).translate(_LOWERED)}"
    tag = "span" if setting == HTML else "tspan"
    return f'<{tag} class="fr">{numerator}{SLASH}{denominator}</{tag}>'


def length_words(
    length: Length,
    *,
    system: str,
    setting: str,
    denominator: int = 16,
    unit: bool = True,
) -> str:
    r"""Return a length as lettered: `5′ 0½″`, `11⁄16″`, `1917 mm`.

    Feet always come with inches. `unit` False leaves the millimetre sign away, as in
    a chain of dimensions.

    Rounds: nearest 1/`denominator` in, or nearest 0.1 mm; halves away from zero.

    >>> length_words(Length.inch("60 1/2"), system="imperial", setting=PLAIN)
    '5′\xa00 1/2″'
    """
    if system == METRIC:
        number = decimal_text(length.in_mm, places=1).replace("-", MINUS)
        return f"{number}{NBSP}mm" if unit else number
    feet, inches, numerator, bottom = split_inches(
        length.ticks, denominator=denominator
    )
    part = fraction_words(numerator, bottom, setting=setting)
    whole = str(inches) if inches or feet or not part else ""
    between = " " if whole and part and setting == PLAIN else ""
    sign = MINUS if length.ticks < 0 and (feet or inches or numerator) else ""
    start = f"{sign}{feet}′{NBSP}" if feet else sign
    return f"{start}{whole}{between}{part}″"


_IN_TEXT = re.compile(
    r"(?:(?<=[0-9])[ \u00a0])?(?<![0-9/])([0-9]{1,2})/([0-9]{1,2})(?=″)"
)


def built(text: str, *, setting: str = HTML) -> str:
    """Return a sentence with its fractions of an inch set as the drawings set them.

    Only what stands before an inch sign is a length; a price of 1/2, or a sum that is
    divided, is left alone.

    >>> built("5′ 0 1/2″ of 1/3 in 7/8″", setting=RAISED)
    '5′ 0½″ of 1/3 in ⅞″'
    """
    return _IN_TEXT.sub(
        lambda found: fraction_words(int(found[1]), int(found[2]), setting=setting),
        text,
    )


def words(text: str) -> str:
    """Return any text made safe to stand inside a drawing."""
    return escape(text, quote=True)


def visible_count(markup: str) -> int:
    """Return how many characters of a lettered text are seen, tags left out."""
    count = 0
    inside = False
    for letter in markup:
        if letter == "<":
            inside = True
        elif letter == ">":
            inside = False
        elif not inside:
            count += 1
    return count


def width_of(markup: str, letter: int) -> int:
    """Return about how wide a lettered text stands at a letter height.

    Units: hundredths of a pixel in and out.
    Method: an average of 47 hundredths of the height for each character, measured on
    figures of the narrow face; used only to keep texts clear of each other.
    """
    return visible_count(markup) * letter * 47 // 100
