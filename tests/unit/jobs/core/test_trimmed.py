"""Money cut off a piece bought whole."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from moneyed import Money

from jobs.core.trimmed import split_price, trimmed_again, trimmed_off
from materials.core.areas import Area
from materials.core.errors import BadShape, OutOfRange


def cents(units: int) -> Money:
    return Money(Decimal(units).scaleb(-2), "USD")


def test_a_quarter_cut_off_is_a_quarter_of_the_price() -> None:
    assert trimmed_off(cents(10_000), trimmed=Area(1), whole=Area(4)) == cents(2_500)


def test_half_a_cent_goes_up() -> None:
    assert trimmed_off(cents(101), trimmed=Area(1), whole=Area(2)) == cents(51)


@given(st.integers(0, 10**6), st.integers(0, 1000), st.integers(1, 1000))
def test_the_share_lies_between_nothing_and_the_price(
    price: int, trimmed: int, whole: int
) -> None:
    trimmed = min(trimmed, whole)

    share = trimmed_off(cents(price), trimmed=Area(trimmed), whole=Area(whole))

    assert Money(0, "USD") <= share <= cents(price)


@given(st.integers(1, 10**6), st.integers(0, 10**6), st.integers(0, 10**6))
def test_floor_rack_and_waste_add_up_to_the_price(
    price: int, cut: int, racked: int
) -> None:
    cut = min(cut, price)
    racked = min(racked, cut)

    parts = split_price(cents(price), cut=cents(cut), on_the_rack=cents(racked))

    assert parts.in_the_work + parts.on_the_rack + parts.thrown_away == cents(price)


def test_another_price_keeps_the_quoted_proportion() -> None:
    again = trimmed_again(cents(30_000), quoted=cents(20_000), quoted_cut=cents(5_000))

    assert again == cents(7_500)


def test_the_same_price_keeps_the_quoted_sum_to_the_cent() -> None:
    assert trimmed_again(
        cents(26_800), quoted=cents(26_800), quoted_cut=cents(10_028)
    ) == cents(10_028)


def test_the_rack_cannot_take_more_than_was_cut() -> None:
    with pytest.raises(OutOfRange, match="lower the value"):
        split_price(cents(100), cut=cents(10), on_the_rack=cents(11))


def test_a_piece_without_area_is_refused() -> None:
    with pytest.raises(BadShape):
        trimmed_off(cents(100), trimmed=Area(0), whole=Area(0))


def test_more_cut_off_than_there_is_is_refused() -> None:
    with pytest.raises(BadShape):
        trimmed_off(cents(100), trimmed=Area(5), whole=Area(4))


def test_a_cut_without_a_price_is_refused() -> None:
    with pytest.raises(OutOfRange):
        trimmed_again(cents(100), quoted=cents(0), quoted_cut=cents(0))
