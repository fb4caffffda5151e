"""Needs of one material made one."""

from __future__ import annotations

from fractions import Fraction

from materials.core.need import Need
from materials.core.plans.pooling import joined


def a_need(quantity: int, **more: object) -> Need:
    return Need(
        material="M",
        unit="m",
        quantity=Fraction(quantity),
        **more,  # type: ignore[arg-type]
    )


def test_quantities_packs_and_places_are_added_up() -> None:
    one = a_need(2, least_packs={"a": 1}, places=("x",), bound="so.", plan="p")
    two = a_need(3, least_packs={"a": 2, "b": 1}, places=("x", "y"), bound="so.")

    whole = joined([one, two])

    assert whole.quantity == 5
    assert whole.least_packs == {"a": 3, "b": 1}
    assert (whole.places, whole.bound, whole.plan) == (("x", "y"), "so.", "p")


def test_plans_stand_side_by_side() -> None:
    whole = joined([a_need(1, plan=("p",)), a_need(1, plan="q"), a_need(1)])

    assert whole.plan == ("p", "q")
