"""Lengths: exact on the lattice, printed and read back to the same tick."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.core.areas import Area
from materials.core.errors import NotALength, NotANumber, OutOfRange
from materials.core.lengths import (
    FOOT,
    IMPERIAL,
    INCH,
    METRE,
    METRIC,
    MM,
    NOTHING,
    Length,
    split_inches,
)
from tests.cases import many_cases, some_cases

SYSTEMS = st.sampled_from([IMPERIAL, METRIC])
LENGTHS = st.one_of(
    st.integers(0, 10_000 * METRE),
    st.integers(0, 3_000).map(lambda count: count * MM),
    st.integers(0, 60_000).map(lambda count: count * INCH // 64),
    st.integers(0, 300_000).map(lambda count: count * MM // 10),
).map(Length)


@many_cases
@given(length=LENGTHS, printed_in=SYSTEMS, read_in=SYSTEMS)
def test_a_printed_length_reads_back_to_the_same_tick(
    length: Length, printed_in: str, read_in: str
) -> None:
    assert Length.parse(length.exact_text(printed_in), system=read_in) == length


@some_cases
@given(sixteenths=st.integers(0, 20_000))
def test_what_a_person_reads_in_sixteenths_reads_back(sixteenths: int) -> None:
    length = Length(sixteenths * INCH // 16)

    assert Length.parse(length.text(IMPERIAL), system=METRIC) == length


@some_cases
@given(tenths=st.integers(0, 100_000))
def test_what_a_person_reads_in_millimetres_reads_back(tenths: int) -> None:
    length = Length(tenths * MM // 10)

    assert Length.parse(length.text(METRIC), system=IMPERIAL) == length


@given(first=LENGTHS, second=LENGTHS, count=st.integers(-1_000, 1_000))
def test_sums_and_multiples_are_exact(
    first: Length, second: Length, count: int
) -> None:
    assert (first + second) - second == first
    assert (first * count).in_mm == first.in_mm * count
    assert count * first == first * count
    assert first.by(second) == Area(first.ticks * second.ticks)
    assert first + (-first) == first - first


@given(length=LENGTHS, step=st.integers(1, FOOT).map(Length))
def test_steps_bracket_a_length(length: Length, step: Length) -> None:
    below, above = length.not_longer_than(step), length.not_shorter_than(step)
    near = length.nearest(step)

    assert below <= length <= above
    assert above.ticks - below.ticks in (0, step.ticks)
    assert near in (below, above)
    assert abs(near.ticks - length.ticks) * 2 <= step.ticks
    assert below.not_shorter_than(step) == below == below.not_longer_than(step)


@pytest.mark.parametrize("divisor", [2, 3, 6])
@pytest.mark.parametrize("unit", [MM, INCH // 64, MM // 20])
def test_halves_thirds_and_sixths_stay_on_the_lattice(unit: int, divisor: int) -> None:
    assert unit % divisor == 0


def test_twelve_pieces_of_eight_inches_come_out_of_eight_feet() -> None:
    assert Length.inch(96) // Length.inch(8) == 12
    assert Length.inch(96) / Length.inch(8) == 12
    assert Length.inch(96) / Length.inch(36) == Fraction(8, 3)


@pytest.mark.parametrize(
    ("text", "ticks"),
    [("297", 297 * MM), ("23 5/8", 189 * MM // 8), ("0.1", 192), ("-1", -MM)],
)
def test_millimetres_come_from_text(text: str, ticks: int) -> None:
    assert Length.mm(text) == Length(ticks)


def test_doors_take_ints_and_fractions() -> None:
    assert Length.inch(Fraction(1, 64)) == Length(762)
    assert Length.mm(1) == Length(1_920)
    assert Length.inch("23 5/8") == Length(189 * INCH // 8)


def test_a_door_rounds_halves_away_from_zero() -> None:
    assert Length.mm(Fraction(1, 3840)) == Length(1)
    assert Length.mm(Fraction(-1, 3840)) == Length(-1)


def test_an_exact_door_refuses_what_is_off_the_lattice() -> None:
    assert Length.inch("1/64", exact=True) == Length(762)
    with pytest.raises(OutOfRange, match="not a whole number of ticks"):
        Length.inch("0.1", exact=True)


@pytest.mark.parametrize("text", ["", "nan", "1e3", "٣", "1/0", "1,5", "9" * 40, "--1"])
def test_a_door_refuses_what_is_no_number(text: str) -> None:
    with pytest.raises(NotANumber):
        Length.mm(text)


@pytest.mark.parametrize("value", [1.5, True, Decimal("1.5"), None])
def test_a_door_refuses_floats_and_other_types(value: object) -> None:
    with pytest.raises(TypeError):
        Length.mm(value)  # type: ignore[arg-type]
    with pytest.raises(TypeError):
        Length(value)  # type: ignore[arg-type]


def test_a_length_does_not_mix_with_numbers() -> None:
    length: object = Length(3)
    for other in (1, 1.5, Fraction(1, 2), Area(3)):
        with pytest.raises(TypeError):
            length + other  # type: ignore[operator]
        with pytest.raises(TypeError):
            length - other  # type: ignore[operator]
        with pytest.raises(TypeError):
            length < other  # type: ignore[operator]  # noqa: B015
    for other in (1.5, Fraction(1, 2), Length(2)):
        with pytest.raises(TypeError):
            length * other  # type: ignore[operator]


@pytest.mark.parametrize(
    ("ticks", "denominator", "text"),
    [
        (0, 16, "0″"),
        (11 * INCH // 16, 16, "11/16″"),
        (151 * INCH // 2, 16, "6′\u00a03 1/2″"),
        (FOOT, 16, "1′\u00a00″"),
        (FOOT + INCH // 2, 16, "1′\u00a00 1/2″"),
        (INCH // 64, 16, "0″"),
        (INCH // 64, 64, "1/64″"),
        (INCH // 32, 16, "1/16″"),
        (-INCH // 32, 16, "-1/16″"),
        (12 * INCH - 1, 16, "1′\u00a00″"),
    ],
)
def test_inches_are_printed_for_a_person(
    ticks: int, denominator: int, text: str
) -> None:
    assert Length(ticks).text(IMPERIAL, denominator=denominator) == text


@pytest.mark.parametrize(
    ("ticks", "text"),
    [
        (1917 * MM, "1917\u00a0mm"),
        (96, "0.1\u00a0mm"),
        (95, "0\u00a0mm"),
        (INCH, "25.4\u00a0mm"),
        (-1917 * MM, "-1917\u00a0mm"),
    ],
)
def test_millimetres_are_printed_for_a_person(ticks: int, text: str) -> None:
    assert Length(ticks).text(METRIC) == text


@pytest.mark.parametrize(
    ("ticks", "text"),
    [
        (INCH // 64, "1/64″"),
        (1, "1/1920 mm"),
        (MM + 1, "1 1/1920 mm"),
        (MM // 10, "0.1 mm"),
        (3 * MM, "3 mm"),
    ],
)
def test_exact_text_keeps_every_tick(ticks: int, text: str) -> None:
    assert Length(ticks).exact_text(IMPERIAL) == text


def test_a_length_below_zero_is_printed_and_never_read() -> None:
    below = Length.mm(-5)

    assert below.exact_text(METRIC) == "-5 mm"
    with pytest.raises(NotALength, match="minus"):
        Length.parse(below.exact_text(METRIC), system=METRIC)


@given(sixteenths=st.integers(0, 10**6), under=st.integers(-1523, 1523))
def test_split_inches_gives_the_nearest_sixteenth(sixteenths: int, under: int) -> None:
    feet, inches, numerator, denominator = split_inches(
        max(0, sixteenths * 3048 + under)
    )

    assert 0 <= inches < 12
    assert Fraction(numerator, denominator) < 1
    assert (
        192 * feet + 16 * inches + Fraction(16 * numerator, denominator) == sixteenths
    )


def test_units_convert_exactly() -> None:
    length = Length.inch(36)

    assert (length.in_feet, length.in_inches) == (3, 36)
    assert (length.in_mm, length.in_m) == (Fraction("914.4"), Fraction("0.9144"))


def test_nothing_is_false_and_sorts_first() -> None:
    assert not NOTHING
    assert Length(1)
    assert sorted([Length(3), NOTHING, Length(-1)])[1] == NOTHING
    assert repr(Length.inch("11 3/8")) == "Length('11 3/8″')"
