"""EN 16931 arithmetic, against a second reckoning in whole cents."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from moneyed import Money

from jobs.core.invoicing import (
    Line,
    NotInvoiceable,
    TaxKey,
    line_net,
    negative,
    one_currency,
    sums_of,
    tax_on,
    tax_rows,
    totals,
)
from materials.core.errors import MixedCurrencies, OutOfRange

DIGITS = {"JPY": 0, "USD": 2, "KWD": 3}
STANDARD = TaxKey(category="S", rate=Fraction(1, 5))
EXEMPT = TaxKey(category="E", rate=Fraction(0))
TAXES = st.one_of(
    st.just(EXEMPT),
    st.integers(1, 1000).map(
        lambda rate: TaxKey(category="S", rate=Fraction(rate, 4000))
    ),
)


def line(price: str, quantity: str = "1", *, currency: str = "USD",
         tax: TaxKey = STANDARD) -> Line:  # fmt: skip
    return Line(
        key="k",
        text="Set tile",
        quantity=Fraction(quantity),
        unit="C62",
        price=Money(price, currency),
        tax=tax,
    )


def lines(currency: str) -> st.SearchStrategy[list[Line]]:
    return st.lists(
        st.builds(
            lambda units, quantity, tax: Line(
                key="k",
                text="line",
                quantity=quantity,
                unit="C62",
                price=Money(Decimal(units).scaleb(-4), currency),
                tax=tax,
            ),
            st.integers(0, 10**8),
            st.fractions(-50, 50, max_denominator=48),
            TAXES,
        ),
        max_size=8,
    )


def cents_half_up(value: Fraction, digits: int) -> int:
    """Return whole minor units, halves away from zero; written apart from the core."""
    scaled: Fraction = value * 10**digits
    sign = -1 if scaled < 0 else 1
    doubled: Fraction = abs(scaled) * 2 + 1
    return sign * (doubled.numerator // doubled.denominator // 2)


@given(
    st.sampled_from(sorted(DIGITS)).flatmap(lambda c: st.tuples(st.just(c), lines(c)))
)
def test_sums_agree_with_a_reckoning_in_whole_cents(
    case: tuple[str, list[Line]],
) -> None:
    currency, own = case
    digits = DIGITS[currency]
    nets = [
        cents_half_up(Fraction(item.price.amount) * item.quantity, digits)
        for item in own
    ]
    bases: dict[TaxKey, int] = {}
    for item, net in zip(own, nets, strict=True):
        bases[item.tax] = bases.get(item.tax, 0) + net
    taxes = {
        tax: cents_half_up(Fraction(base, 10**digits) * tax.rate, digits)
        for tax, base in bases.items()
    }

    sums = totals(own, currency=currency)

    assert Fraction(sums.net.amount) * 10**digits == sum(nets)
    assert Fraction(sums.gross.amount) * 10**digits == sum(nets) + sum(taxes.values())
    assert {row.tax: Fraction(row.amount.amount) * 10**digits for row in sums.rows} == (
        taxes
    )


@given(lines("USD"))
def test_turned_quantities_mirror_the_document(own: list[Line]) -> None:
    turned = [
        Line(
            key=item.key,
            text=item.text,
            quantity=-item.quantity,
            unit=item.unit,
            price=item.price,
            tax=item.tax,
        )
        for item in own
    ]

    straight, mirrored = totals(own, currency="USD"), totals(turned, currency="USD")

    assert mirrored.gross == negative(straight.gross)
    assert [row.amount for row in mirrored.rows] == [
        negative(row.amount) for row in straight.rows
    ]


def test_tax_per_line_and_per_document_differ_where_they_should() -> None:
    own = [(STANDARD, Money("0.02", "USD"))] * 3

    per_document = tax_rows(own, currency="USD", basis="document")
    per_line = tax_rows(own, currency="USD", basis="line")

    assert per_document[0].amount == Money("0.01", "USD")
    assert per_line[0].amount == Money("0.00", "USD")


def test_half_a_cent_of_tax_goes_up_and_down_alike() -> None:
    tax = TaxKey(category="S", rate=Fraction(1, 4))

    assert tax_on(Money("625743.54", "USD"), tax) == Money("156435.89", "USD")
    assert tax_on(Money("-625743.54", "USD"), tax) == Money("-156435.89", "USD")


def test_prepaid_and_rounding_change_only_what_is_due() -> None:
    sums = totals(
        [line("100.00")],
        currency="USD",
        prepaid=Money("20.00", "USD"),
        rounding=Money("0.02", "USD"),
    )

    assert sums.gross == Money("120.00", "USD")
    assert sums.due == Money("100.02", "USD")


def test_a_price_below_nothing_is_refused() -> None:
    with pytest.raises(OutOfRange, match="quantity as negative"):
        line_net(line("-1.00"))


def test_a_price_for_no_quantity_is_refused() -> None:
    bad = Line(
        key="k",
        text="Set tile",
        quantity=Fraction(1),
        unit="C62",
        price=Money("1.00", "USD"),
        tax=STANDARD,
        base_quantity=Fraction(0),
    )

    with pytest.raises(OutOfRange):
        line_net(bad)


def test_two_currencies_on_one_invoice_are_refused() -> None:
    with pytest.raises(MixedCurrencies):
        totals([line("1.00"), line("1.00", currency="KWD")], currency="USD")
    with pytest.raises(MixedCurrencies):
        one_currency([line("1.00"), line("1.00", currency="KWD")])


def test_an_invoice_without_lines_is_refused() -> None:
    with pytest.raises(NotInvoiceable):
        one_currency([])


def test_tax_rows_that_leave_a_line_out_are_refused() -> None:
    zero = Money("0.00", "USD")
    with pytest.raises(NotInvoiceable, match="tax rate"):
        sums_of(
            (),
            lines=Money("1.00", "USD"),
            allowances=zero,
            charges=zero,
            prepaid=zero,
            rounding=zero,
        )


@pytest.mark.parametrize(
    ("category", "rate"),
    [("S", Fraction(0)), ("S", Fraction(2)), ("E", Fraction(1, 5)), ("Q", Fraction(0))],
)
def test_a_rate_that_does_not_go_with_its_category_is_refused(
    category: str, rate: Fraction
) -> None:
    with pytest.raises(OutOfRange):
        TaxKey(category=category, rate=rate)


def test_an_unknown_rounding_rule_is_refused() -> None:
    with pytest.raises(OutOfRange):
        tax_rows([(STANDARD, Money("1.00", "USD"))], currency="USD", basis="month")
