"""Hours of work as lines: wages, overhead for each productive hour, travel.

Overhead is recovered by the hours that are charged for, the setter's and the helper's
alike. Days on site are the longer of the two people's hours over a working day.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from moneyed import Money

from materials.core import amounts
from materials.core.errors import OutOfRange
from materials.core.need import Step
from materials.core.quantities import decimal_text, half_up, whole_units
from quotes.core.document import Hours, Line, Overruled
from quotes.core.frozen import money_text
from quotes.core.labour import HOURS_STEP, OperationHours
from quotes.core.overrules import LARGEST_HOURS, LARGEST_QUANTITY, Overrules
from quotes.core.pricing import Addition
from quotes.core.settled import overruled_step, settled_line


@dataclass(frozen=True, slots=True, kw_only=True)
class Wages:
    """What an hour costs, what it must carry, and what is added."""

    setter: Money
    helper: Money
    overhead: Money
    hours_per_day: Fraction
    travel: Money | None
    addition: Addition
    overrules: Overrules
    code: str


def checked(wages: Wages) -> Wages:
    """Return the wages if work can be priced with them.

    Raises: OutOfRange for a wage below nil or a day without hours.
    """
    named = (
        ("setter_wage", wages.setter),
        ("helper_wage", wages.helper),
        ("overhead_per_hour", wages.overhead),
        ("travel_per_visit", wages.travel),
    )
    for name, money in named:
        if money is not None and money.amount < 0:
            raise OutOfRange(
                f"{money_text(money)} is below nothing; enter 0 or more.",
                field=f"rates.{name}",
            )
    if not 0 < wages.hours_per_day <= 24:
        raise OutOfRange(
            f"A day of {decimal_text(wages.hours_per_day, places=2)} hours is not "
            "possible; enter more than 0, up to 24.",
            field="rates.hours_per_day",
        )
    return wages


def labour_line(hours: OperationHours, wages: Wages) -> Line:
    """Return the line of one operation: hours × wage of each role, and its price.

    Rounds: each role's cost and the price half up, once.
    """
    operation = hours.operation
    key = f"labour:{operation.key}"
    setter, helper, noted = _owner_hours(key, hours, wages.overrules)
    roles = tuple(
        Hours(role=role, hours=amount, wage=wage)
        for role, amount, wage in (
            ("setter", setter, wages.setter),
            ("helper", helper, wages.helper),
        )
        if amount
    )
    costs = [amounts.extend(role.wage, role.hours) for role in roles]
    cost = amounts.total(costs, wages.code)
    return settled_line(
        Line(
            key=key,
            cost_class="labour",
            section=operation.section,
            text=operation.label,
            operation=operation.key,
            quantity=setter + helper,
            unit="h",
            hours=roles,
            cost=cost,
            price=cost,
            places=hours.places,
            overruled=noted,
            working=(
                *hours.working,
                *(overruled_step(note, "h") for note in noted),
                *_wage_steps(roles, costs),
            ),
        ),
        addition=wages.addition,
        overrules=wages.overrules,
    )


def stopped_line(hours: OperationHours, reason: str, wages: Wages) -> Line:
    """Return the line of work that must not start yet: nothing unless overruled.

    Its hours stay in the working; they are in no sum.
    """
    operation = hours.operation
    nothing = amounts.zero(wages.code)
    return settled_line(
        Line(
            key=f"labour:{operation.key}",
            cost_class="labour",
            section=operation.section,
            text=operation.label,
            operation=operation.key,
            unit="h",
            cost=nothing,
            price=nothing,
            places=hours.places,
            stopped=reason,
            working=(*hours.working, Step(label="Stopped", formula=reason)),
        ),
        addition=wages.addition,
        overrules=wages.overrules,
    )


def _owner_hours(
    key: str, hours: OperationHours, overrules: Overrules
) -> tuple[Fraction, Fraction, tuple[Overruled, ...]]:
    """Return the owner's hours, parted between setter and helper as computed."""
    owner = overrules.number(key, "hours", most=LARGEST_HOURS)
    if owner is None:
        return hours.setter, hours.helper, ()
    whole = hours.setter + hours.helper
    share = hours.helper / whole if whole else Fraction(0)
    helper = half_up(owner * share, HOURS_STEP)
    return owner - helper, helper, overrules.note(key, "hours", _hours_text(whole))


def _hours_text(hours: Fraction) -> str:
    return decimal_text(hours, places=2)


def _wage_steps(roles: Sequence[Hours], costs: Sequence[Money]) -> list[Step]:
    return [
        Step(
            label=f"Wages, {role.role}",
            formula=f"{_hours_text(role.hours)} h × {money_text(role.wage)}",
            result=amounts.plain(cost),
        )
        for role, cost in zip(roles, costs, strict=True)
    ]


def role_hours(lines: Iterable[Line], role: str) -> Fraction:
    """Return the hours of one role over lines."""
    return sum(
        (part.hours for line in lines for part in line.hours if part.role == role),
        Fraction(0),
    )


def overhead_line(lines: Sequence[Line], wages: Wages) -> Line | None:
    """Return overhead for the productive hours of lines, or None where there are none.

    Rounds: hours × overhead once, half up.
    Source: overhead rate = yearly overhead ÷ productive hours (standard costing).
    """
    hours = role_hours(lines, "setter") + role_hours(lines, "helper")
    computed = amounts.extend(wages.overhead, hours)
    if not computed.amount:
        return None
    step = Step(
        label="Overhead",
        formula=f"{_hours_text(hours)} productive h × {money_text(wages.overhead)}",
        result=amounts.plain(computed),
    )
    return settled_line(
        Line(
            key="overhead",
            cost_class="overhead",
            section="overhead",
            text="Overhead, by the productive hour",
            quantity=hours,
            unit="h",
            cost=computed,
            price=computed,
            working=(step,),
        ),
        addition=wages.addition,
        overrules=wages.overrules,
    )


def days_on_site(lines: Sequence[Line], wages: Wages) -> int:
    """Return whole days: the longer of the two people's hours over a working day."""
    longest = max(role_hours(lines, "setter"), role_hours(lines, "helper"))
    return whole_units(longest, wages.hours_per_day)


def travel_line(lines: Sequence[Line], wages: Wages) -> Line | None:
    """Return travel for the days on site, or None where nobody travels or is paid."""
    days = Fraction(days_on_site(lines, wages))
    if wages.travel is None or not wages.travel.amount or not days:
        return None
    owner = wages.overrules.number("travel", "quantity", most=LARGEST_QUANTITY)
    noted = wages.overrules.note("travel", "quantity", decimal_text(days, places=0))
    longest = max(role_hours(lines, "setter"), role_hours(lines, "helper"))
    per_day = decimal_text(wages.hours_per_day, places=2)
    trips = days if owner is None else owner
    computed = amounts.extend(wages.travel, trips)
    steps = (
        Step(
            label="Days on site",
            formula=f"{_hours_text(longest)} h ÷ {per_day} h a day, rounded up",
            result="1 day" if days == 1 else f"{decimal_text(days, places=0)} days",
        ),
        *(overruled_step(note) for note in noted),
        Step(
            label="Travel",
            formula=f"{decimal_text(trips, places=2)} × {money_text(wages.travel)}",
            result=amounts.plain(computed),
        ),
    )
    return settled_line(
        Line(
            key="travel",
            cost_class="travel",
            section="travel",
            text="Travel",
            quantity=trips,
            unit="trip",
            cost=computed,
            price=computed,
            overruled=noted,
            working=steps,
        ),
        addition=wages.addition,
        overrules=wages.overrules,
    )
