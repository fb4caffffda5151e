"""A flight in a takeoff: its steps, its sentences, its goods and its work."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from materials.core.lengths import Length
from quotes.core.document import Quote
from quotes.core.estimate import Estimate
from quotes.core.taken import Caution
from tests.builders import a_flight, a_hall
from tests.priced import priced_visit, quoted

mm = Length.mm


def a_hall_with_stairs(**changes: Any) -> dict[str, Any]:
    document = a_hall()
    (build_up,) = document["build_ups"]
    flight = {**a_flight(**{"tile": "9", "riser": "14", **changes})}
    flight["build_up"] = build_up
    document["spaces"][0]["surfaces"].append(flight)
    document["build_ups"][build_up]["layers"].append(
        {"role": "trim", "material": "PF-25"}
    )
    return document


def priced(**changes: Any) -> Estimate:
    return priced_visit(a_hall_with_stairs(**changes))


def coded(found: Estimate, code: str) -> list[Caution]:
    return [one for one in found.takeoff.cautions if one.code == code]


def test_the_steps_stand_in_the_takeoff() -> None:
    (found,) = priced().takeoff.stairs

    assert found.place == "Hall, Stairs"
    assert [step.finished for step in found.stairs.steps] == [mm(195)] * 3
    assert not found.own_limit


def test_the_general_caution_reaches_the_client_with_its_source() -> None:
    document = a_hall_with_stairs()
    quote: Quote = quoted(document)

    assert any("people fall on uneven stairs" in said for said in quote.cautions)
    (caution,) = coded(priced(), "stairs")
    assert caution.source is not None
    assert "Building Code" in caution.source.title


def test_risers_that_stay_uneven_are_said_beside_the_limit() -> None:
    (caution,) = coded(priced(bottom="14", landing="0"), "uneven_stairs")

    assert "differ by" in caution.sentence
    assert "International Building Code" in caution.sentence
    assert coded(priced(), "uneven_stairs") == []
    (own,) = coded(priced(bottom="14", landing="0", limit="5"), "uneven_stairs")
    assert "the limit given" in own.sentence


def test_a_tile_of_another_thickness_than_was_taken_is_said() -> None:
    assert coded(priced(), "stairs_tile") == []
    (caution,) = coded(priced(tile="10"), "stairs_tile")
    assert caution.reader == "shop"


def test_treads_and_risers_are_one_order_with_the_floor() -> None:
    (need,) = [n for n in priced().takeoff.needs if n.material == "FT-60"]

    assert need.places[:3] == (
        "Hall, floor", "Hall, Stairs, riser 1", "Hall, Stairs, tread 1",
    )  # fmt: skip
    assert len(need.places) == 6


def test_two_nosings_of_a_metre_come_from_one_profile_beside_the_hall_s() -> None:
    (need,) = [n for n in priced().takeoff.needs if n.material == "PF-25"]

    assert need.quantity == 1


def test_the_work_is_counted_step_by_step_and_not_by_area_too() -> None:
    found = priced()
    steps = [m for m in found.takeoff.measures if m.key == "step"]
    tiled = [
        m
        for m in found.takeoff.measures
        if (m.key, m.layer) == ("layer_area", "tile") and "Stairs" in m.place
    ]

    assert [m.quantity for m in steps] == [Fraction(3)]
    assert tiled == []
    assert any("step" in line.text.lower() for line in found.option.lines)


def test_the_thick_bed_is_bought_by_its_volume() -> None:
    """30 mm less tile of 9 and leveller of 2 under the second tread: 19 × 0.294 m²."""
    (need,) = [n for n in priced().takeoff.needs if n.material == "AD-20"]

    (step,) = [s for s in need.working if s.label == "Volume, Hall, Stairs, tread 2"]
    assert step.result == "5.586 l"
