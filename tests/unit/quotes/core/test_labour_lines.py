from __future__ import annotations

from fractions import Fraction

import pytest
from moneyed import Money

from materials.core.errors import OutOfRange
from quotes.core.choices import Overrule
from quotes.core.labour import Task, operation_hours
from quotes.core.labour_lines import (
    Wages,
    checked,
    days_on_site,
    labour_line,
    overhead_line,
    role_hours,
    stopped_line,
    travel_line,
)
from quotes.core.overrules import Overrules
from quotes.core.pricing import Addition


def _wages(*overrules, **changes):
    values = {
        "setter": Money("40.00", "GBP"),
        "helper": Money("25.00", "GBP"),
        "overhead": Money("9.00", "GBP"),
        "hours_per_day": Fraction(8),
        "travel": Money("30.00", "GBP"),
        "addition": Addition(method="markup", labour=Fraction(1, 4)),
        "overrules": Overrules(overrules),
        "code": "GBP",
        **changes,
    }
    return Wages(**values)


def _line(wages, operation="fix_board", quantity=10):
    (hours,) = operation_hours([Task(operation=operation, quantity=Fraction(quantity))])
    return labour_line(hours, wages)


def test_hours_cost_their_wages():
    line = _line(_wages())  # 10 m² × 0.3 h and 0.12 h

    assert line.key == "labour:fix_board"
    assert [(part.role, part.hours) for part in line.hours] == [
        ("setter", 3),
        ("helper", Fraction("1.2")),
    ]
    assert line.cost == Money("150.00", "GBP")
    assert line.price == Money("187.50", "GBP")
    assert (line.quantity, line.unit) == (Fraction("4.2"), "h")


def test_the_owner_s_hours_are_parted_as_computed():
    overrule = Overrule(line="labour:fix_board", what="hours", value="7", reason="odd")

    line = _line(_wages(overrule))

    assert [part.hours for part in line.hours] == [5, 2]
    assert line.overruled[0].computed == "4.2"


def test_overhead_goes_with_every_productive_hour():
    wages = _wages()

    line = overhead_line([_line(wages)], wages)

    assert line is not None
    assert line.cost == Money("37.80", "GBP")
    assert line.quantity == Fraction("4.2")


def test_no_hours_carry_no_overhead_and_no_travel():
    wages = _wages()

    assert overhead_line([], wages) is None
    assert travel_line([], wages) is None
    assert days_on_site([], wages) == 0


@pytest.mark.parametrize(("quantity", "days"), [(26, 1), (27, 2), (54, 3)])
def test_days_are_the_longer_of_the_two_people_s(quantity, days):
    wages = _wages()
    line = _line(wages, quantity=quantity)

    assert role_hours([line], "setter") == Fraction(3, 10) * quantity
    assert days_on_site([line], wages) == days


def test_travel_is_paid_for_each_day():
    wages = _wages()

    line = travel_line([_line(wages, quantity=54)], wages)

    assert line is not None
    assert line.cost == Money("90.00", "GBP")


def test_the_owner_s_trips_stand():
    wages = _wages(
        Overrule(line="travel", what="quantity", value="1", reason="on the way")
    )

    line = travel_line([_line(wages, quantity=54)], wages)

    assert line is not None
    assert line.cost == Money("30.00", "GBP")
    assert line.overruled[0].computed == "3"


def test_stopped_work_is_listed_and_costs_nothing():
    (hours,) = operation_hours(
        [Task(operation="strip_floor_tile", quantity=Fraction(10))]
    )

    line = stopped_line(hours, "It may hold asbestos.", _wages())

    assert line.stopped == "It may hold asbestos."
    assert line.price == Money("0", "GBP")
    assert role_hours([line], "setter") == 0
    assert len(line.working) > 1


@pytest.mark.parametrize(
    "changes",
    [
        {"setter": Money("-1", "GBP")},
        {"travel": Money("-1", "GBP")},
        {"hours_per_day": Fraction(0)},
        {"hours_per_day": Fraction(25)},
    ],
)
def test_wages_that_cannot_be_are_refused(changes):
    with pytest.raises(OutOfRange) as caught:
        checked(_wages(**changes))

    assert caught.value.field.startswith("rates.")
