from __future__ import annotations

from fractions import Fraction

from moneyed import Money

from quotes.core.choices import Overrule
from quotes.core.document import Line
from quotes.core.overrules import Overrules
from quotes.core.pricing import Addition
from quotes.core.settled import settled_line

ADDITION = Addition(method="margin", other=Fraction(1, 5))


def _line(cost):
    return Line(
        key="travel",
        cost_class="travel",
        text="Travel",
        section="travel",
        cost=Money(cost, "GBP"),
        price=Money(cost, "GBP"),
    )


def test_a_line_goes_out_with_its_price_and_the_working_of_it():
    line = settled_line(_line("80.00"), addition=ADDITION, overrules=Overrules([]))

    assert line.price == Money("100.00", "GBP")
    assert [step.label for step in line.working] == ["Price"]


def test_nothing_costs_nothing_and_needs_no_working():
    line = settled_line(_line("0"), addition=ADDITION, overrules=Overrules([]))

    assert line.price == Money("0", "GBP")
    assert line.working == ()


def test_both_figures_of_an_overrule_stand_in_the_working():
    overrules = Overrules(
        [
            Overrule(line="travel", what="cost", value="40", reason="shared van"),
            Overrule(line="travel", what="price", value="45", reason="agreed"),
        ]
    )

    line = settled_line(_line("80.00"), addition=ADDITION, overrules=overrules)

    assert (line.cost, line.price) == (Money("40", "GBP"), Money("45", "GBP"))
    assert [step.formula for step in line.working] == [
        "instead of 80.00: shared van",
        "40.00 ÷ (1 − 20 % margin of price)",
        "instead of 50.00: agreed",
    ]
