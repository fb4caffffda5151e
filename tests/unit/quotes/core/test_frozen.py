from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from moneyed import Money

from materials.core.errors import Refusal
from quotes.core import frozen


@dataclass(frozen=True, slots=True, kw_only=True)
class Inner:
    name: str
    rate: Fraction


@dataclass(frozen=True, slots=True, kw_only=True)
class Outer:
    count: int
    ready: bool
    day: date | None
    price: Money
    parts: tuple[Inner, ...] = ()


@given(
    st.integers(),
    st.booleans(),
    st.none() | st.dates(),
    st.integers(-(10**14), 10**14),
    st.lists(st.tuples(st.text(max_size=9), st.fractions()), max_size=3),
)
def test_what_is_read_back_equals_what_was_written(count, ready, day, units, parts):
    outer = Outer(
        count=count,
        ready=ready,
        day=day,
        price=frozen.amounts.from_units(units, "GBP"),
        parts=tuple(Inner(name=name, rate=rate) for name, rate in parts),
    )

    assert frozen.record(Outer, frozen.plain(outer)) == outer


@pytest.mark.parametrize(
    ("amount", "currency", "text"),
    [
        ("2.5", "USD", "2.50"),
        ("0.1212", "USD", "0.1212"),
        ("-7", "USD", "-7.00"),
        ("1200", "JPY", "1200"),
        ("1.5", "KWD", "1.500"),
    ],
)
def test_money_has_its_currencys_decimals_and_more_only_where_needed(
    amount, currency, text
):
    assert frozen.money_text(Money(amount, currency)) == text


def _stored(**changes):
    stored = frozen.plain(
        Outer(
            count=1,
            ready=True,
            day=None,
            price=Money("1.00", "GBP"),
            parts=(Inner(name="a", rate=Fraction(1, 3)),),
        )
    )
    return {**stored, **changes}


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"count": "1"}, "count"),
        ({"count": True}, "count"),
        ({"parts": {}}, "parts"),
        ({"parts": [{"name": "a", "rate": "1e9"}]}, "parts.0.rate"),
        ({"parts": [{"name": "a", "rate": "1/0"}]}, "parts.0.rate"),
        ({"day": "31 May"}, "day"),
        ({"price": "1.00"}, "price"),
        ({"colour": "red"}, "colour"),
    ],
)
def test_what_is_no_record_is_refused_with_its_path(changes, field):
    with pytest.raises(Refusal) as caught:
        frozen.record(Outer, _stored(**changes))

    assert caught.value.field == field


def test_a_missing_part_is_named():
    stored = _stored()
    del stored["count"]

    with pytest.raises(frozen.BadRecord, match="count"):
        frozen.record(Outer, stored)


def test_what_cannot_be_kept_exactly_is_not_stored():
    with pytest.raises(frozen.BadRecord):
        frozen.plain(Inner(name="a", rate=0.5))
