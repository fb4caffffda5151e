from __future__ import annotations

from fractions import Fraction
from typing import Any

from materials.core import amounts
from materials.core.cutting.pan_records import (
    Fit,
    LinearDrain,
    Pan,
    PointDrain,
    Recess,
    SlopeRule,
    Stock,
)
from materials.core.cutting.pans import fit_pans
from materials.core.lengths import Length

RULE = SlopeRule(least=Fraction(1, 48), most=Fraction(1, 24))


def inches(value: str | int) -> Length:
    return Length.inch(value)


def a_pan(**changes: Any) -> Pan:
    facts: dict[str, Any] = {
        "name": "Dell 44",
        "kind": "linear",
        "width": inches(50),
        "depth": inches(46),
        "thin": inches("7/8"),
        "thick": inches(2),
        "strip": inches(4),
        "strip_drop": inches("1/8"),
        "price": amounts.money("386.40", "USD"),
    }
    return Pan(**{**facts, **changes})


def a_point_pan(**changes: Any) -> Pan:
    facts = {
        "name": "Dish 50",
        "kind": "point",
        "width": inches(50),
        "depth": inches(50),
        "thin": inches(1),
        "thick": inches("1 5/8"),
        "strip": inches(0),
        "strip_drop": inches(0),
    }
    return a_pan(**{**facts, **changes})


def a_recess(**changes: Any) -> Recess:
    facts: dict[str, Any] = {
        "width": inches(38),
        "depth": inches(35),
        "drain": LinearDrain(side=0, start=inches(0), length=inches(38)),
    }
    return Recess.rectangle(**{**facts, **changes})


def fitted(recess: Recess, *pans: Pan, **stock: Any) -> Fit:
    return fit_pans(recess, stock=Stock(pans=pans, **stock), rule=RULE)


def test_a_pan_larger_than_the_recess_is_trimmed_and_its_trimmings_are_money() -> None:
    way = fitted(a_recess(), a_pan()).ways[0]

    assert way.kind == "one_pan"
    assert way.cost == amounts.money("386.40", "USD")
    assert way.trimmed_share == 1 - Fraction(38 * 35, 50 * 46)
    assert way.trimmed_money == amounts.money("162.96", "USD")
    assert [(trim.side, trim.amount) for trim in way.pieces[0].trims] == [
        ("drain", inches(4).ticks),
        ("right", inches(12).ticks),
        ("far", inches(7).ticks),
    ]


def test_a_pan_too_narrow_is_refused_with_both_widths() -> None:
    fit = fitted(a_recess(), a_pan(width=inches(37), count=1))

    assert fit.ways == ()
    reasons = [one.reason for one in fit.refused if one.turn == 0]
    assert reasons == [
        "“Dell 44” does not do: it is 3′\u00a01″ wide and 3′\u00a02″ is needed."
    ]


def test_the_strip_stays_under_a_drain_narrower_than_its_side() -> None:
    drain = LinearDrain(side=0, start=inches(4), length=inches(30))

    way = fitted(a_recess(drain=drain), a_pan()).ways[0]

    assert [height.length for height in way.heights if height.where == "drain"] == [
        inches("3/4"),
        inches("3/4"),
    ]


def test_a_point_pan_is_placed_by_its_drain() -> None:
    drain = PointDrain(at=(inches(20).ticks, inches(17).ticks))

    way = fitted(a_recess(drain=drain), a_point_pan()).ways[0]

    assert way.pieces[0].at == (inches(-5).ticks, inches(-8).ticks)
