"""The reader of typed lengths: against a second parser, and what it refuses."""

from __future__ import annotations

import json
import time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.core import length_reader
from materials.core.errors import NotALength, OutOfRange
from materials.core.length_reader import FOOT, INCH, METRE, MM
from tests import second_length_parser
from tests.cases import many_cases
from tests.typed_lengths import TYPED
from tests.vectors import make_lengths


def read(text: str, *, imperial: bool) -> int | None:
    """Return the ticks, or None where one of the two declared refusals is raised."""
    try:
        return length_reader.ticks_of(text, imperial=imperial)
    except (NotALength, OutOfRange) as refusal:
        sentence = refusal.sentence
    assert sentence.endswith(".")
    assert len(sentence) < 200
    return None


@many_cases
@given(text=TYPED, imperial=st.booleans())
def test_both_parsers_read_the_same_or_both_refuse(text: str, imperial: bool) -> None:
    assert read(text, imperial=imperial) == second_length_parser.ticks_of(
        text, imperial=imperial
    )


@many_cases
@given(text=st.text(max_size=90), imperial=st.booleans())
def test_any_text_at_all_is_read_or_refused_with_a_sentence(
    text: str, imperial: bool
) -> None:
    assert read(text, imperial=imperial) == second_length_parser.ticks_of(
        text, imperial=imperial
    )


@pytest.mark.parametrize(
    ("text", "ticks"),
    [
        ("75 1/2", 151 * INCH // 2),
        ("75-1/2", 151 * INCH // 2),
        ("75½", 151 * INCH // 2),
        ("75.5", 151 * INCH // 2),
        ("6' 3 1/2\"", 151 * INCH // 2),
        ("6'-3-1/2\"", 151 * INCH // 2),
        ("6′ 3½″", 151 * INCH // 2),
        ("6’ 3½”", 151 * INCH // 2),
        ("6 ft. 3 1/2 in.", 151 * INCH // 2),
        ("6ft3 1/2in", 151 * INCH // 2),
        ("6 3 1/2", 151 * INCH // 2),
        ("6 feet 3 1⁄2 inches", 151 * INCH // 2),
        ("48 + 27 1/2", 151 * INCH // 2),
        ("4' + 27 1/2", 151 * INCH // 2),
        ("6'", 6 * FOOT),
        ("6.5'", 6 * FOOT + 6 * INCH),
        ("1/2'", 6 * INCH),
        ("1917 mm", 1917 * MM),
        ("191.7 cm", 1917 * MM),
        ("1.917 m", 1917 * MM),
        ('1 m + 3/4"', METRE + 3 * INCH // 4),
        (".5", INCH // 2),
        ("0", 0),
        ("10000 m", 10_000 * METRE),
    ],
)
def test_an_imperial_business_reads(text: str, ticks: int) -> None:
    assert read(text, imperial=True) == ticks


@pytest.mark.parametrize(
    ("text", "ticks"),
    [
        ("1917", 1917 * MM),
        ("1917.5", 19175 * MM // 10),
        ("1917mm", 1917 * MM),
        ("6' 3 1/2\"", 151 * INCH // 2),
        ("900 + 1017", 1917 * MM),
        ("3/4 in", 3 * INCH // 4),
        ("1/3 mm", MM // 3),
        ("1200 + 2' 1", 1200 * MM + 25 * INCH),
    ],
)
def test_a_metric_business_reads(text: str, ticks: int) -> None:
    assert read(text, imperial=False) == ticks


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("", "No length was typed"),
        (" \u00a0 ", "No length was typed"),
        ("-5", "begins with a minus"),
        ("−5", "begins with a minus"),
        ("1/0", "divides by zero"),
        ("0/0", "divides by zero"),
        ("6' 3 1/0\"", "divides by zero"),
        ("1,905 m", "has a comma"),
        ("1.905,5", "has a comma"),
        ("1e3", "not understood"),
        ("1E-3", "not understood"),
        ("nan", "not understood"),
        ("NaN", "not understood"),
        ("inf", "not understood"),
        ("Infinity", "not understood"),
        ("٣", "not understood"),
        ("५ in", "not understood"),
        ("１２", "not understood"),
        ("𝟗", "not understood"),
        ("1" * 40, "not understood"),
        ("1234567890", "not understood"),
        ("0000000012", "not understood"),
        ("1.2.3", "not understood"),
        ("1/2/3", "not understood"),
        ("5.", "not understood"),
        ("0x10", "not understood"),
        ("5 mm²", "not understood"),
        ("1_000", "not understood"),
        ("six feet", "not understood"),
        ("6\u200b3", "not understood"),
        ("75 - 1/2", "not expected"),
        ("75- 1/2", "not expected"),
        ("75 -1/2", "not expected"),
        ("5 + -3", "not expected"),
        ("5 +", "the end"),
        ("+ 5", "not expected"),
        ("6' 3 mm", "not expected"),
        ("6.5' 3", "not expected"),
        ("2/1 3", "not expected"),
        ("6-3", "not expected"),
        ("5 m 50 cm", "not expected"),
        ("'", "not expected"),
        ("75 12", "twelve inches or more"),
        ("6' 13\"", "twelve inches or more after its feet"),
        ("6' 12", "twelve inches or more after its feet"),
        ("6 ft 30 1/2 in", "twelve inches or more after its feet"),
        ("6 30 1/2", "twelve inches or more"),
        ("1 " * 41, "too long"),
        ("10000.001 m", "longer than ten kilometres"),
        ("999999999'", "longer than ten kilometres"),
    ],
)
def test_an_imperial_business_refuses(text: str, part: str) -> None:
    with pytest.raises((NotALength, OutOfRange), match=part):
        length_reader.ticks_of(text, imperial=True)


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("75 1/2", "fraction without a unit"),
        ("½", "fraction without a unit"),
        ("6 3", "not expected"),
    ],
)
def test_a_metric_business_refuses(text: str, part: str) -> None:
    with pytest.raises(NotALength, match=part):
        length_reader.ticks_of(text, imperial=False)


def test_halves_of_a_tick_round_up() -> None:
    assert read("1/3840 mm", imperial=False) == 1
    assert read("1/3841 mm", imperial=False) == 0


def test_a_sum_is_rounded_once() -> None:
    assert read("1/3840 mm + 1/3840 mm", imperial=False) == 1


def test_hostile_texts_of_full_length_take_no_time() -> None:
    hostile = ["1" * 80, "1/" * 40, " " * 79 + "x", "½" * 80, "''" * 40, "1 +" * 26]

    started = time.perf_counter()
    for text in hostile * 20:
        read(text, imperial=True)
    took = time.perf_counter() - started

    assert took < len(hostile) * 20 * 0.01


VECTORS = json.loads(make_lengths.PLACE.read_text(encoding="ascii"))


@pytest.mark.parametrize("system", make_lengths.SYSTEMS)
def test_both_parsers_read_the_shared_vectors(system: str) -> None:
    imperial = system == "imperial"
    chosen = [case for case in VECTORS if case["system"] == system]

    assert [
        case
        for case in chosen
        if read(case["text"], imperial=imperial) != case["ticks"]
        or second_length_parser.ticks_of(case["text"], imperial=imperial)
        != case["ticks"]
    ] == []
    assert len(chosen) >= 200


def test_the_shared_vectors_are_what_their_maker_writes() -> None:
    assert make_lengths.PLACE.read_text(encoding="ascii") == make_lengths.written()
    refused = [case for case in VECTORS if case["ticks"] is None]
    assert len(refused) >= 100
