"""Quantities: numbers as typed, the one rounding up, the one rounding half up."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.core.errors import NotANumber, NothingInTheBox
from materials.core.quantities import (
    decimal_text,
    fixed_text,
    half_up,
    parse_number,
    share,
    whole_units,
)
from tests.cases import some_cases

WHOLE = st.integers(1, 10**6)
FRACTIONS = st.builds(Fraction, st.integers(-(10**12), 10**12), WHOLE)
POSITIVE = st.builds(Fraction, WHOLE, WHOLE)


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("12", Fraction(12)),
        ("12.5", Fraction(25, 2)),
        ("12.", Fraction(12)),
        (".5", Fraction(1, 2)),
        ("1/3", Fraction(1, 3)),
        ("12 1/2", Fraction(25, 2)),
        (" 7\u00a01/2 ", Fraction(15, 2)),
        ("-3", Fraction(-3)),
        ("−12 1/2", Fraction(-25, 2)),
        ("+2", Fraction(2)),
        ("0.000000000001", Fraction(1, 10**12)),
    ],
)
def test_a_number_is_read_exactly(text: str, value: Fraction) -> None:
    assert parse_number(text) == value


@pytest.mark.parametrize(
    "text",
    [
        "", " ", ".", "-", "1e3", "1E3", "nan", "NaN", "inf", "Infinity", "-inf",
        "1,5", "1,000", "1.2.3", "1/0", "0/0", "1 1/0", "1/2/3", "1 2", "9" * 40,
        "1" * 16, "1/" + "1" * 16, "٣", "५", "１２", "½", "0x10", "1_000", "--1",
        "1\u200b", "$5", "5 %", "12 -1/2",
    ],
)  # fmt: skip
def test_what_is_no_number_is_refused_with_a_sentence(text: str) -> None:
    with pytest.raises(NotANumber) as refusal:
        parse_number(text)
    assert refusal.value.sentence.endswith(".")


@some_cases
@given(text=st.text(alphabet="0123456789./ -+−eEna", max_size=20))
def test_any_text_is_a_fraction_or_refused(text: str) -> None:
    try:
        value = parse_number(text)
    except NotANumber:
        return
    assert parse_number(f"{value.numerator}/{value.denominator}") == value or (
        len(str(value.numerator)) > 15 or len(str(value.denominator)) > 15
    )


@some_cases
@given(need=FRACTIONS, per_unit=POSITIVE)
def test_whole_units_cover_the_need_and_one_fewer_does_not(
    need: Fraction, per_unit: Fraction
) -> None:
    count = whole_units(need, per_unit)

    assert count * per_unit >= need
    assert count == 0 or (count - 1) * per_unit < need


def test_a_float_would_buy_one_box_too_many() -> None:
    assert whole_units(Fraction("0.8") * Fraction("0.9"), Fraction("0.24")) == 3


@pytest.mark.parametrize("empty", [Fraction(0), Fraction(-1)])
def test_a_pack_that_holds_nothing_is_refused(empty: Fraction) -> None:
    with pytest.raises(NothingInTheBox, match="covers nothing"):
        whole_units(Fraction(1), empty)


@pytest.mark.parametrize(
    ("value", "step", "rounded"),
    [
        ("2.5", "1", "3"),
        ("-2.5", "1", "-3"),
        ("0.5", "1", "1"),
        ("1.005", "0.01", "1.01"),
        ("2.675", "0.01", "2.68"),
        ("2.674999999", "0.01", "2.67"),
        ("7", "5", "5"),
        ("7.5", "5", "10"),
        ("-0.4", "1", "0"),
    ],
)
def test_halves_round_away_from_zero(value: str, step: str, rounded: str) -> None:
    assert half_up(Fraction(value), Fraction(step)) == Fraction(rounded)


@some_cases
@given(value=FRACTIONS, step=POSITIVE)
def test_rounding_is_near_mirrored_and_stays_put(
    value: Fraction, step: Fraction
) -> None:
    rounded = half_up(value, step)

    assert (rounded / step).denominator == 1
    assert abs(rounded - value) * 2 <= step
    assert half_up(-value, step) == -rounded
    assert half_up(rounded, step) == rounded


def test_a_step_of_nothing_is_refused() -> None:
    with pytest.raises(NotANumber):
        half_up(Fraction(1), Fraction(0))


@pytest.mark.parametrize(
    ("value", "places", "shortest", "fixed"),
    [
        (Fraction(1, 3), 4, "0.3333", "0.3333"),
        (Fraction(5, 2), 2, "2.5", "2.50"),
        (Fraction(3), 2, "3", "3.00"),
        (Fraction(-1, 1000), 2, "0", "0.00"),
        (Fraction(-5, 1000), 2, "-0.01", "-0.01"),
        (Fraction("0.05"), 1, "0.1", "0.1"),
        (Fraction(7, 2), 0, "4", "4"),
        (Fraction(100), 0, "100", "100"),
    ],
)
def test_decimals_are_printed_half_up(
    value: Fraction, places: int, shortest: str, fixed: str
) -> None:
    assert decimal_text(value, places=places) == shortest
    assert fixed_text(value, places=places) == fixed


@given(value=FRACTIONS, places=st.integers(0, 8))
def test_a_printed_decimal_reads_back_to_the_rounded_value(
    value: Fraction, places: int
) -> None:
    rounded = half_up(value, Fraction(1, 10**places))

    assert parse_number(decimal_text(value, places=places)) == rounded
    assert parse_number(fixed_text(value, places=places)) == rounded


@some_cases
@given(
    total=st.integers(-(10**12), 10**12),
    weights=st.lists(st.integers(0, 10**6), min_size=1, max_size=12),
)
def test_shares_add_up_and_stay_within_one_of_their_part(
    total: int, weights: list[int]
) -> None:
    parts = share(total, weights)
    whole = sum(weights)

    assert sum(parts) == total
    for part, weight in zip(parts, weights, strict=True):
        exact = (
            Fraction(total * weight, whole) if whole else Fraction(total, len(parts))
        )
        assert abs(part - exact) < 1
        assert part * total >= 0
    assert share(-total, weights) == [-part for part in parts]


@pytest.mark.parametrize(
    ("total", "weights", "parts"),
    [
        (100, [1, 1, 1], [34, 33, 33]),
        (-100, [1, 1, 1], [-34, -33, -33]),
        (10, [0, 0], [5, 5]),
        (7, [0, 3, 0], [0, 7, 0]),
        (0, [1, 2], [0, 0]),
        (5, [], []),
    ],
)
def test_shares_by_hand(total: int, weights: list[int], parts: list[int]) -> None:
    assert share(total, weights) == parts


def test_a_share_below_nothing_is_refused() -> None:
    with pytest.raises(NotANumber, match="below nothing"):
        share(10, [1, -1])
