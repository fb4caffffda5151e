"""Money: one rounding, half up, in currencies of no, two, three and four decimals."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from moneyed import Money

from materials.core import amounts
from materials.core.errors import MixedCurrencies, NotANumber, OutOfRange, Unknown
from tests.cases import some_cases

CODES = st.sampled_from(["JPY", "USD", "KWD", "CLF"])
RATES = st.builds(Fraction, st.integers(-(10**4), 10**4), st.integers(1, 10**6))


@st.composite
def payable(draw: st.DrawFn, most: int = 10**9) -> Money:
    """Return an amount that is a whole number of its minor units."""
    code = draw(CODES)
    step = amounts.UNITS_PER_WHOLE // 10 ** amounts.minor_digits(code)
    return amounts.from_units(draw(st.integers(-most, most)) * step, code)


@pytest.mark.parametrize(
    ("code", "digits"), [("JPY", 0), ("ISK", 0), ("USD", 2), ("KWD", 3), ("CLF", 4)]
)
def test_minor_digits_are_the_currency_s(code: str, digits: int) -> None:
    assert amounts.minor_digits(code) == digits
    assert amounts.minor_step(code) == Fraction(1, 10**digits)


@pytest.mark.parametrize("code", ["", "usd", "US", "DOLLAR", "ZZZ", "٣", "X" * 40])
def test_an_unknown_currency_is_refused(code: str) -> None:
    with pytest.raises(Unknown, match="no ISO 4217 currency code"):
        amounts.currency(code)


@some_cases
@given(money=payable())
def test_money_survives_its_units_and_its_text(money: Money) -> None:
    code = money.currency.code

    assert amounts.from_units(amounts.to_units(money), code) == money
    assert amounts.parse_money(amounts.plain(money), code) == money


@pytest.mark.parametrize(
    ("units", "code", "shown"),
    [
        (125_000, "USD", "12.50"),
        (125_005, "USD", "12.5005"),
        (125_000, "KWD", "12.500"),
        (120_000, "JPY", "12"),
        (-5, "CLF", "-0.0005"),
        (0, "USD", "0.00"),
    ],
)
def test_units_become_money_with_the_currency_s_decimals(
    units: int, code: str, shown: str
) -> None:
    assert str(amounts.from_units(units, code).amount) == shown


@pytest.mark.parametrize(
    "amount",
    ["NaN", "sNaN", "Infinity", "-Infinity", "1e400", "1e999999", "1.00001", "1e12"],
)
def test_what_is_no_amount_is_refused(amount: str) -> None:
    with pytest.raises(OutOfRange):
        amounts.to_units(Money(Decimal(amount), "USD"))


@pytest.mark.parametrize("amount", ["NaN", "Infinity", "1e400", "1e-400"])
def test_no_arithmetic_with_what_is_no_amount(amount: str) -> None:
    money = Money(Decimal(amount), "USD")
    for attempt in (
        lambda: amounts.exact(money),
        lambda: amounts.extend(money, Fraction(1)),
        lambda: amounts.percent_of(money, Fraction(1)),
        lambda: amounts.total([money], "USD"),
        lambda: amounts.plain(money),
    ):
        with pytest.raises(OutOfRange):
            attempt()


@pytest.mark.parametrize(
    ("text", "code", "units"),
    [
        ("12", "USD", 120_000),
        (" 12.50 ", "USD", 125_000),
        (".5", "USD", 5_000),
        ("-3.20", "USD", -32_000),
        ("−3.20", "USD", -32_000),
        ("1.2340", "KWD", 12_340),
        ("7", "JPY", 70_000),
    ],
)
def test_an_amount_is_read_exactly(text: str, code: str, units: int) -> None:
    assert amounts.to_units(amounts.parse_money(text, code)) == units
    assert amounts.money(text, code) == amounts.parse_money(text, code)


@pytest.mark.parametrize(
    "text",
    [
        "", ".", "1,50", "1,000.00", "1e3", "NaN", "Infinity", "$5", "£5", "5 USD",
        "٣", "५.00", "１２", "9" * 40, "1.23456", "12.", "1 000", "0x1", "--1", "½",
    ],
)  # fmt: skip
def test_what_is_no_amount_as_typed_is_refused(text: str) -> None:
    with pytest.raises(NotANumber, match="is not an amount"):
        amounts.parse_money(text, "USD")
    with pytest.raises(NotANumber, match="is not an amount"):
        amounts.unit_price(text, "USD")


@pytest.mark.parametrize(
    ("text", "code"), [("1.005", "USD"), ("1.5", "JPY"), ("1.0005", "KWD")]
)
def test_too_many_decimals_for_the_currency_are_refused(text: str, code: str) -> None:
    with pytest.raises(OutOfRange, match="more decimals than"):
        amounts.parse_money(text, code)
    assert amounts.plain(amounts.unit_price(text, code))


def test_an_amount_of_money_has_a_largest_size() -> None:
    with pytest.raises(OutOfRange, match="decimal point"):
        amounts.parse_money("9" * 12, "USD")
    with pytest.raises(OutOfRange, match="decimal point"):
        amounts.extend(Money("99999999999", "USD"), Fraction(2))
    with pytest.raises(OutOfRange, match="decimal point"):
        amounts.money(Fraction(10**30), "USD")


@pytest.mark.parametrize(
    ("price", "quantity", "code", "amount"),
    [
        ("2.665", "1", "USD", "2.67"),
        ("10.005", "1", "USD", "10.01"),
        ("8.345", "1", "USD", "8.35"),
        ("-2.665", "1", "USD", "-2.67"),
        ("0.3333", "3", "USD", "1.00"),
        ("100.5", "1", "JPY", "101"),
        ("0.0005", "1", "KWD", "0.001"),
        ("0.00005", "1", "CLF", "0.0001"),
    ],
)
def test_a_line_rounds_once_half_up(
    price: str, quantity: str, code: str, amount: str
) -> None:
    assert amounts.extend(Money(price, code), Fraction(quantity)) == Money(amount, code)


@some_cases
@given(price=payable(10**6), quantity=RATES)
def test_a_credit_mirrors_its_invoice(price: Money, quantity: Fraction) -> None:
    line = amounts.extend(price, quantity)
    step = amounts.minor_step(price.currency.code)

    assert amounts.extend(price, -quantity) == -line
    assert abs(amounts.exact(line) - amounts.exact(price) * quantity) * 2 <= step
    assert amounts.percent_of(price, quantity) == line


@given(code=CODES, units=st.lists(st.integers(-(10**9), 10**9), max_size=20))
def test_a_total_is_the_exact_sum(code: str, units: list[int]) -> None:
    lines = [amounts.from_units(unit, code) for unit in units]

    assert amounts.to_units(amounts.total(lines, code)) == sum(units)


def test_a_total_of_nothing_has_its_currency() -> None:
    assert amounts.total([], "GBP") == amounts.zero("GBP") == Money(0, "GBP")


def test_a_total_of_two_currencies_is_refused() -> None:
    with pytest.raises(MixedCurrencies, match="one document has one currency"):
        amounts.total([Money(1, "GBP"), Money(1, "EUR")], "GBP")


@some_cases
@given(
    amount=payable(), weights=st.lists(st.integers(0, 1000), min_size=1, max_size=12)
)
def test_instalments_add_up_to_the_amount(amount: Money, weights: list[int]) -> None:
    parts = amounts.share(amount, weights)

    assert amounts.total(parts, amount.currency.code) == amount
    for part in parts:
        assert amounts.parse_money(amounts.plain(part), part.currency.code) == part


def test_an_amount_with_half_a_cent_cannot_be_shared() -> None:
    with pytest.raises(OutOfRange, match="smallest unit"):
        amounts.share(Money("1.005", "USD"), [1, 1])


def test_a_unit_price_keeps_four_places_half_up() -> None:
    assert amounts.unit_price(Fraction(1, 3), "USD") == Money("0.3333", "USD")
    assert amounts.unit_price(Fraction(1, 20_000), "USD") == Money("0.0001", "USD")


@pytest.mark.parametrize(
    ("money", "text"),
    [
        (Money("1234.5", "USD"), "1234.50"),
        (Money("1234", "JPY"), "1234"),
        (Money("-0.5", "KWD"), "-0.500"),
        (Money("0", "USD"), "0.00"),
    ],
)
def test_an_amount_is_printed_in_plain_digits(money: Money, text: str) -> None:
    assert amounts.plain(money) == text
