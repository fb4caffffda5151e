"""Lengths as they are lettered: a wrong fraction is a wrong cut."""

from __future__ import annotations

import re
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.core.drawing.lettering import (
    GLYPHS,
    HTML,
    PLAIN,
    RAISED,
    SVG,
    built,
    fraction_words,
    length_words,
    visible_count,
    width_of,
    words,
)
from materials.core.lengths import INCH, Length

RAISED_FIGURES = dict(zip("⁰¹²³⁴⁵⁶⁷⁸⁹", "0123456789", strict=True))
LOWERED_FIGURES = dict(zip("₀₁₂₃₄₅₆₇₈₉", "0123456789", strict=True))


LETTERED = re.compile(
    r"(?:(?P<feet>\d+)′\u00a0)?(?P<whole>\d*)"
    r"(?:(?P<glyph>[½¼¾⅛⅜⅝⅞])|(?:<t?span class=\"fr\">)?"
    r"(?P<top>[\d⁰¹²³⁴⁵⁶⁷⁸⁹]+)⁄(?P<low>[\d₀₁₂₃₄₅₆₇₈₉]+)(?:</t?span>)?)?″"
)


def read_back(lettered: str) -> Fraction:
    """Return the inches that a person reads in a lettered length."""
    found = LETTERED.fullmatch(lettered)
    assert found is not None, lettered
    figures = str.maketrans(RAISED_FIGURES | LOWERED_FIGURES)
    part = Fraction(0)
    if found["glyph"]:
        part = next(
            Fraction(*pair) for pair, g in GLYPHS.items() if g == found["glyph"]
        )
    elif found["top"]:
        top, low = (found[name].translate(figures) for name in ("top", "low"))
        part = Fraction(int(top), int(low))
    return 12 * int(found["feet"] or 0) + int(found["whole"] or 0) + part


def test_feet_always_come_with_inches() -> None:
    lettered = length_words(Length.inch(96), system="imperial", setting=HTML)

    assert lettered == "8′\u00a00″"


def test_an_eighth_is_a_ready_glyph_and_a_sixteenth_a_fraction_of_its_own() -> None:
    half = length_words(Length.inch("60 1/2"), system="imperial", setting=HTML)
    sixteenth = length_words(Length.inch("1 5/16"), system="imperial", setting=HTML)

    assert half == "5′\u00a00½″"
    assert sixteenth == '1<span class="fr">5⁄16</span>″'


def test_in_print_a_sixteenth_is_raised_and_lowered_figures() -> None:
    lettered = length_words(Length.inch("1 5/16"), system="imperial", setting=RAISED)

    assert lettered == "1⁵⁄₁₆″"


def test_a_bare_fraction_has_no_nought_before_it() -> None:
    assert length_words(Length.inch("3/8"), system="imperial", setting=SVG) == "⅜″"


def test_a_length_below_nothing_has_a_true_minus() -> None:
    lettered = length_words(Length.inch(-4), system="imperial", setting=SVG)

    assert lettered == "−4″"


def test_a_length_that_rounds_to_nothing_has_no_minus() -> None:
    assert length_words(Length(-1), system="imperial", setting=SVG) == "0″"


def test_millimetres_may_leave_their_unit_to_the_scale_bar() -> None:
    length = Length.mm("1917.5")

    assert length_words(length, system="metric", setting=SVG) == "1917.5\u00a0mm"
    assert length_words(length, system="metric", setting=SVG, unit=False) == "1917.5"


@pytest.mark.parametrize("setting", [HTML, SVG, RAISED])
@given(sixteenths=st.integers(min_value=0, max_value=40 * 12 * 16))
def test_what_is_lettered_is_read_as_what_was_measured(
    setting: str, sixteenths: int
) -> None:
    length = Length(sixteenths * INCH // 16)

    lettered = length_words(length, system="imperial", setting=setting)

    assert read_back(lettered) == Fraction(sixteenths, 16)


def test_a_fraction_read_aloud_is_plain() -> None:
    assert fraction_words(11, 16, setting=PLAIN) == "11/16"
    assert fraction_words(0, 1, setting=PLAIN) == ""


def test_names_cannot_break_out_of_a_drawing() -> None:
    assert words("<b>&\"'") == "&lt;b&gt;&amp;&quot;&#x27;"


def test_tags_take_no_width() -> None:
    lettered = '1<tspan class="fr">5⁄16</tspan>″'

    assert visible_count(lettered) == 6
    assert width_of(lettered, 1_000) == width_of("123456", 1_000)


@pytest.mark.parametrize("denominator", [2, 4, 8, 16, 32, 64])
def test_a_sentence_is_lettered_as_the_drawing_beside_it(denominator: int) -> None:
    for numerator in range(1, denominator, 2):
        length = Length(5 * 12 * INCH + INCH + numerator * INCH // denominator)
        said = length_words(
            length, system="imperial", setting=PLAIN, denominator=denominator
        )
        for setting in (HTML, RAISED):
            drawn = length_words(
                length, system="imperial", setting=setting, denominator=denominator
            )
            assert built(f"at {said}.", setting=setting) == f"at {drawn}."


@pytest.mark.parametrize("text", ["1/2 of it", "cut 1/3 in", "12/25/2026", "1/2/3″"])
def test_what_is_no_length_in_inches_is_left_as_it_was_written(text: str) -> None:
    assert built(text) == text
