from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from moneyed import Money

from materials.core import amounts
from materials.core.errors import OutOfRange, Unknown
from quotes.core import tax
from quotes.core.document import OfferedLine, TaxPart
from quotes.core.tax import SalesTax
from tests.cases import many_cases

DIGITS = {"JPY": 0, "USD": 2, "KWD": 3, "CLF": 4}


def _half_up(numerator: int, denominator: int) -> int:
    """Round by whole numbers alone, halves away from nothing."""
    sign = -1 if numerator < 0 else 1
    return sign * ((2 * abs(numerator) + denominator) // (2 * denominator))


def _line(key, parts, code):
    made = tuple(
        TaxPart(
            category="S" if percent else "O",
            rate=Fraction(percent, 10_000),
            base=amounts.money(minor * amounts.minor_step(code), code),
        )
        for minor, percent in parts
    )
    return OfferedLine(
        key=key,
        text=key,
        price=amounts.total((part.base for part in made), code),
        parts=made,
    )


@many_cases
@given(
    st.sampled_from(sorted(DIGITS)),
    st.sampled_from(["document", "line"]),
    st.lists(
        st.lists(
            st.tuples(
                st.integers(-(10**9), 10**9),
                st.sampled_from([0, 210, 625, 825, 1000, 1900, 2000]),
            ),
            min_size=1,
            max_size=3,
        ),
        min_size=1,
        max_size=12,
    ),
)
def test_tax_is_what_whole_numbers_alone_come_to(code, basis, document):
    lines = [_line(str(place), parts, code) for place, parts in enumerate(document)]

    found = tax.tax_lines(lines, basis=basis, code=code)

    expected: dict[int, int] = {}
    bases: dict[int, int] = {}
    for parts in document:
        for minor, percent in parts:
            bases[percent] = bases.get(percent, 0) + minor
            if basis == "line":
                rounded = _half_up(minor * percent, 10_000)
                expected[percent] = expected.get(percent, 0) + rounded
    if basis == "document":
        expected = {
            percent: _half_up(base * percent, 10_000) for percent, base in bases.items()
        }
    scale = 10 ** DIGITS[code]
    assert {
        int(line.rate * 10_000): int(amounts.exact(line.tax) * scale) for line in found
    } == expected
    assert {
        int(line.rate * 10_000): int(amounts.exact(line.base) * scale) for line in found
    } == bases


def test_where_tax_is_rounded_makes_a_difference_and_is_kept_apart():
    lines = [_line(str(place), [(105, 1000)], "GBP") for place in range(3)]

    on_document = tax.tax_lines(lines, basis="document", code="GBP")
    on_line = tax.tax_lines(lines, basis="line", code="GBP")

    assert on_document[0].tax == Money("0.32", "GBP")
    assert on_line[0].tax == Money("0.33", "GBP")


def test_goods_may_carry_another_rate_than_work():
    sales = SalesTax(
        name="Sales tax", rate=Fraction(1, 16), by_class={"labour": Fraction(0)}
    )

    goods = tax.part_of(sales, "materials", Money("100.00", "USD"))
    work = tax.part_of(sales, "labour", Money("50.00", "USD"))

    assert (goods.category, goods.rate) == ("S", Fraction(1, 16))
    assert (work.category, work.rate) == ("O", 0)


@given(
    st.sampled_from(sorted(DIGITS)),
    st.integers(-(10**8), 10**8),
    st.lists(st.integers(0, 10**8), min_size=1, max_size=5),
)
def test_what_is_spread_over_rates_adds_up(code, minor, bases):
    parts = _line("a", list(zip(bases, (0, 500, 1000, 1900, 2000), strict=False)), code)
    amount = amounts.money(minor * amounts.minor_step(code), code)

    found = tax.spread(amount, parts.parts)

    assert amounts.total((part.base for part in found), code) == amount


def test_nothing_to_spread_over_leaves_the_amount_untaxed():
    (part,) = tax.spread(Money("5.00", "GBP"), ())

    assert (part.category, part.base) == ("O", Money("5.00", "GBP"))


def test_parts_of_one_rate_are_merged_and_empty_ones_dropped():
    parts = _line("a", [(100, 2000), (0, 500), (50, 2000), (7, 0)], "GBP").parts

    found = tax.merged(parts)

    assert [(part.rate, amounts.plain(part.base)) for part in found] == [
        (Fraction(1, 5), "1.50"),
        (Fraction(0), "0.07"),
    ]


@pytest.mark.parametrize("rate", ["-0.01", "1", "20"])
def test_a_rate_that_is_no_share_is_refused(rate):
    with pytest.raises(OutOfRange) as caught:
        tax.checked(SalesTax(name="VAT", rate=Fraction(rate)))

    assert caught.value.field == "rates.sales_tax"


def test_an_unknown_basis_is_refused():
    with pytest.raises(Unknown):
        tax.checked(SalesTax(name="VAT", rate=Fraction(0), basis="page"))
