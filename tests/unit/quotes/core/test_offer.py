from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from moneyed import Money

from materials.core import amounts
from materials.core.errors import OutOfRange
from quotes.core.document import Line
from quotes.core.offer import (
    SECTIONS,
    Adjusting,
    adjustments,
    contingency_line,
    offered_lines,
)
from quotes.core.pricing import Addition
from quotes.core.tax import SalesTax, tax_lines
from tests.cases import many_cases

VAT = SalesTax(name="VAT", rate=Fraction(1, 5))
GOODS = SalesTax(
    name="Sales tax",
    rate=Fraction(1, 16),
    by_class={
        name: Fraction(0)
        for name in ("labour", "overhead", "contingency", "travel", "adjustment")
    },
)


def _line(key, price, *, section="tile", cost_class="labour", nature="computed"):
    money = Money(price, "GBP")
    return Line(
        key=key,
        cost_class=cost_class,
        text=key,
        section=section,
        nature=nature,
        cost=money,
        price=money,
    )


def _overhead(price):
    return _line("overhead", price, section="overhead", cost_class="overhead")


def _prices(offered):
    return {line.key: amounts.plain(line.price) for line in offered}


def test_lines_are_gathered_into_parts_of_the_work_in_reading_order():
    lines = [
        _line("a", "30.00"),
        _line("b", "20.00", section="prepare"),
        _line("c", "10.00"),
    ]

    offered = offered_lines(lines, tax=VAT, code="GBP")

    assert list(_prices(offered).items()) == [("prepare", "20.00"), ("tile", "40.00")]
    assert offered[1].text == SECTIONS["tile"]
    assert offered[1].lines == ("a", "c")


def test_overhead_is_spread_over_the_parts_to_the_cent():
    lines = [
        _line("a", "10.00"),
        _line("b", "10.00", section="boards"),
        _line("c", "10.00", section="floor"),
        _overhead("10.00"),
    ]

    offered = offered_lines(lines, tax=VAT, code="GBP")

    assert _prices(offered) == {"boards": "13.34", "floor": "13.33", "tile": "13.33"}


def test_without_parts_nothing_is_hidden():
    offered = offered_lines([_overhead("10.00")], tax=VAT, code="GBP")

    assert _prices(offered) == {"overhead": "10.00"}


def test_hand_lines_and_sums_stand_for_themselves():
    lines = [
        _line("a", "10.00"),
        _line("hand:1", "5.00", section="hand:1", nature="hand"),
        _line("sum:1", "7.00", section="sum:1", nature="allowance"),
        _overhead("3.00"),
    ]

    assert _prices(offered_lines(lines, tax=VAT, code="GBP")) == {
        "tile": "13.00",
        "hand:1": "5.00",
        "sum:1": "7.00",
    }


def test_a_part_keeps_goods_and_work_apart_for_tax():
    lines = [
        _line("a", "100.00", cost_class="materials"),
        _line("b", "60.00"),
        _overhead("20.00"),
    ]

    (tile,) = offered_lines(lines, tax=GOODS, code="GBP")

    assert [(part.rate, amounts.plain(part.base)) for part in tile.parts] == [
        (Fraction(1, 16), "100.00"),
        (Fraction(0), "80.00"),
    ]


def test_a_discount_lowers_the_base_of_every_rate():
    lines = [_line("a", "100.00", cost_class="materials"), _line("b", "60.00")]
    lines += adjustments(lines, Adjusting(code="GBP", discount=Fraction(1, 10)))

    offered = offered_lines(lines, tax=GOODS, code="GBP")
    taxes = tax_lines(offered, basis="document", code="GBP")

    assert _prices(offered)["discount"] == "-16.00"
    assert [amounts.plain(line.base) for line in taxes] == ["90.00", "54.00"]


@pytest.mark.parametrize(
    ("price", "adjusting", "found"),
    [
        ("99.99", {}, {}),
        ("99.99", {"discount": "0.1"}, {"discount": "-10.00"}),
        ("99.99", {"round_to": "5"}, {"rounding": "0.01"}),
        ("97.49", {"round_to": "5"}, {"rounding": "-2.49"}),
        ("99.99", {"minimum": "250"}, {"minimum_charge": "150.01"}),
        ("260.00", {"minimum": "250"}, {}),
        (
            "100.00",
            {"discount": "0.1", "round_to": "20", "minimum": "250"},
            {"discount": "-10.00", "rounding": "10.00", "minimum_charge": "150.00"},
        ),
    ],
)
def test_discount_rounding_and_minimum_charge_in_this_order(price, adjusting, found):
    money = {
        name: Money(adjusting[name], "GBP")
        for name in ("round_to", "minimum")
        if name in adjusting
    }
    made = adjustments(
        [_line("a", price)],
        Adjusting(
            code="GBP", discount=Fraction(adjusting.get("discount", "0")), **money
        ),
    )

    assert {line.key: amounts.plain(line.price) for line in made} == found
    assert all(not line.cost.amount for line in made)


def test_nothing_offered_has_no_minimum_charge():
    assert adjustments([], Adjusting(code="GBP", minimum=Money("250", "GBP"))) == ()


def test_a_minimum_charge_over_nothing_is_not_lost():
    lines = [_line("a", "0.00")]
    lines += adjustments(lines, Adjusting(code="GBP", minimum=Money("250", "GBP")))

    offered = offered_lines(lines, tax=VAT, code="GBP")

    assert _prices(offered) == {"minimum_charge": "250.00"}
    assert offered[0].parts[0].rate == Fraction(1, 5)


@pytest.mark.parametrize(
    ("adjusting", "field"),
    [
        ({"discount": Fraction(1)}, "terms.discount"),
        ({"discount": Fraction(-1, 10)}, "terms.discount"),
        ({"round_to": Money("-5", "GBP")}, "rates.round_to"),
        ({"round_to": Money("0.001", "GBP")}, "rates.round_to"),
        ({"minimum": Money("-5", "GBP")}, "rates.minimum_charge"),
        ({"minimum": Money("0.005", "GBP")}, "rates.minimum_charge"),
    ],
)
def test_an_adjustment_that_cannot_be_is_refused(adjusting, field):
    with pytest.raises(OutOfRange) as caught:
        adjustments([_line("a", "1.00")], Adjusting(code="GBP", **adjusting))

    assert caught.value.field == field


def test_contingency_is_a_share_of_computed_cost_alone():
    lines = [_line("a", "200.00"), _line("hand:1", "99.00", nature="hand")]
    addition = Addition(method="markup", other=Fraction(1, 10))

    line = contingency_line(lines, share=Fraction(1, 20), addition=addition, code="GBP")

    assert line is not None
    assert (amounts.plain(line.cost), amounts.plain(line.price)) == ("10.00", "11.00")
    assert (
        contingency_line(lines, share=Fraction(0), addition=addition, code="GBP")
        is None
    )
    with pytest.raises(OutOfRange):
        contingency_line(lines, share=Fraction(2), addition=addition, code="GBP")


CLASSES = ("materials", "labour", "travel", "hire")


@st.composite
def _drawn_lines(draw):
    lines = []
    for place in range(draw(st.integers(1, 12))):
        section = draw(st.sampled_from([*SECTIONS, "overhead", "contingency", "own"]))
        cents = draw(st.integers(0, 10**8))
        price = amounts.money(Fraction(cents, 100), "GBP")
        nature = "hand" if section == "own" else "computed"
        lines.append(
            Line(
                key=f"line:{place}",
                cost_class=draw(st.sampled_from(CLASSES)),
                text="x",
                section=section,
                nature=nature,
                cost=price,
                price=price,
            )
        )
    return lines


@many_cases
@given(
    _drawn_lines(),
    st.fractions(0, Fraction(99, 100), max_denominator=200),
    st.sampled_from(["0", "1", "5", "10", "0.05"]),
    st.sampled_from(["0", "250", "99999.99"]),
    st.sampled_from([VAT, GOODS]),
    st.sampled_from(["document", "line"]),
)
def test_what_the_client_reads_adds_up_to_the_lines_whatever_is_adjusted(
    lines, discount, step, minimum, tax, basis
):
    adjusting = Adjusting(
        code="GBP",
        discount=discount,
        round_to=Money(step, "GBP"),
        minimum=Money(minimum, "GBP"),
    )
    whole = [*lines, *adjustments(lines, adjusting)]

    offered = offered_lines(whole, tax=tax, code="GBP")
    taxes = tax_lines(offered, basis=basis, code="GBP")

    # An oracle of whole pence: nothing of the code under test adds here.
    pence = [int(line.price.amount * 100) for line in whole]
    read = [int(line.price.amount * 100) for line in offered]
    parts = [int(p.base.amount * 100) for line in offered for p in line.parts]
    bases = [int(line.base.amount * 100) for line in taxes]
    assert sum(pence) == sum(read) == sum(parts) == sum(bases)
    assert sum(pence) >= int(Fraction(minimum) * 100)
    subtotal = sum(int(line.price.amount * 100) for line in lines)
    less = (2 * subtotal * discount.numerator + discount.denominator) // (
        2 * discount.denominator
    )
    net = subtotal - less
    coin = int(Fraction(step) * 100)
    if coin:
        net = (2 * net + coin) // (2 * coin) * coin
    assert sum(pence) == max(net, int(Fraction(minimum) * 100))
