from __future__ import annotations

from fractions import Fraction

import pytest
from moneyed import Money

from materials.core import amounts
from materials.core.errors import Refusal
from quotes.core.choices import Allowance, HandLine, Overrule
from quotes.core.hand_lines import allowance_lines, hand_lines
from quotes.core.overrules import Overrules

NONE = Overrules([])


def _typed(**changes):
    values = {
        "text": "Replace cracked tiles",
        "quantity": Fraction(5),
        "unit": "each",
        "unit_price": Money("17.50", "GBP"),
        "unit_cost": Money("6.125", "GBP"),
        **changes,
    }
    return HandLine(**values)


def test_five_cracked_tiles_need_no_drawing():
    (line,) = hand_lines([_typed()], code="GBP", overrules=NONE)

    assert line.key == "hand:1"
    assert line.price == Money("87.50", "GBP")
    assert line.cost == Money("30.63", "GBP")
    assert line.nature == "hand"
    assert line.working[0].formula == "5 each × 17.50"


def test_a_line_without_a_cost_costs_nothing():
    (line,) = hand_lines([_typed(unit_cost=None)], code="GBP", overrules=NONE)

    assert line.cost == amounts.zero("GBP")


def test_an_overruled_price_shows_both_figures():
    overrules = Overrules(
        [Overrule(line="hand:1", what="price", value="80", reason="old friends")]
    )

    (line,) = hand_lines([_typed()], code="GBP", overrules=overrules)

    assert line.price == Money("80", "GBP")
    assert (line.overruled[0].computed, line.overruled[0].owner) == ("87.50", "80")


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"text": "  "}, "hand_lines[0].text"),
        ({"cost_class": "magic"}, "hand_lines[0].cost_class"),
        ({"cost_class": "contingency"}, "hand_lines[0].cost_class"),
        ({"quantity": Fraction(0)}, "hand_lines[0].quantity"),
        ({"quantity": Fraction(-2)}, "hand_lines[0].quantity"),
        ({"quantity": Fraction(10**9)}, "hand_lines[0].quantity"),
        ({"unit_price": Money("-1", "GBP")}, "hand_lines[0].unit_price"),
        ({"unit_price": Money("1", "USD")}, "hand_lines[0].unit_price"),
        ({"unit_cost": Money("1", "USD")}, "hand_lines[0].unit_cost"),
    ],
)
def test_a_line_that_cannot_be_is_refused_with_its_field(changes, field):
    with pytest.raises(Refusal) as caught:
        hand_lines([_typed(**changes)], code="GBP", overrules=NONE)

    assert caught.value.field == field


def test_an_allowance_is_goods_and_a_provisional_sum_is_work():
    amount = Money("85.00", "GBP")
    goods, work = allowance_lines(
        [
            Allowance(nature="allowance", text="Tile to choose", amount=amount),
            Allowance(nature="provisional_sum", text="Rotten studs", amount=amount),
        ],
        code="GBP",
        overrules=NONE,
    )

    assert (goods.key, goods.cost_class) == ("sum:1", "materials")
    assert (work.key, work.cost_class) == ("sum:2", "other")
    assert goods.cost == goods.price == work.cost == amount


@pytest.mark.parametrize(
    ("allowance", "field"),
    [
        (
            Allowance(nature="gift", text="x", amount=Money("1", "GBP")),
            "allowances[0].nature",
        ),
        (
            Allowance(nature="allowance", text="x", amount=Money("-1", "GBP")),
            "allowances[0].amount",
        ),
        (
            Allowance(nature="allowance", text="x", amount=Money("1", "EUR")),
            "allowances[0].amount",
        ),
    ],
)
def test_a_sum_that_cannot_be_is_refused_with_its_field(allowance, field):
    with pytest.raises(Refusal) as caught:
        allowance_lines([allowance], code="GBP", overrules=NONE)

    assert caught.value.field == field
