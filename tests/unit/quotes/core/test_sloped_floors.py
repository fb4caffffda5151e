"""The sloped floor of a recess: the cheapest pan that does, or a bed to falls."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from typing import Any

import pytest

from materials.core.cutting.pan_records import MORTAR, ONE_PAN
from materials.core.lengths import Length
from materials.core.pricelist import catalogue_on
from quotes.core.errors import WrongSurface
from quotes.core.sloped_floors import kinds_chosen_from
from quotes.core.taken import Takeoff
from quotes.core.takeoff import take_off
from quotes.core.visit_file import read_visit
from tests.builders import a_shower


def taken(document: dict[str, Any]) -> Takeoff:
    visit = read_visit(document)
    assert visit.price_list is not None
    return take_off(visit, catalogue_on(visit.price_list, date(2026, 4, 1)))


def pan_layer(document: dict[str, Any]) -> dict[str, Any]:
    layer: dict[str, Any] = document["build_ups"]["shower_floor"]["layers"][0]
    return layer


def test_the_cheapest_pan_that_does_is_taken_and_its_trim_is_shown() -> None:
    found = taken(a_shower())

    (floor,) = found.slopes
    (need,) = [n for n in found.needs if n.material == "PN-4060"]
    assert floor.way.kind == ONE_PAN
    assert need.plan == (floor.way,)
    recess = Fraction("56.25") * Fraction("37.375")
    assert floor.way.trimmed_share == 1 - recess / (60 * 40)
    assert [step.label for step in need.working] == [
        "Sloped floor, Shower, floor",
        "Trimmed off",
    ]


def test_a_pan_that_is_named_is_taken_though_another_is_cheaper() -> None:
    document = a_shower()
    pan_layer(document)["material"] = "PN-4872"

    assert "PN-4872" in {need.material for need in taken(document).needs}


def test_only_pans_and_their_boards_are_ever_chosen_from() -> None:
    document = a_shower()
    named = kinds_chosen_from(read_visit(document).build_ups.values())
    pan_layer(document).pop("material", None)

    open_choice = kinds_chosen_from(read_visit(document).build_ups.values())

    assert open_choice == {"foam_pan", "backer_board"}
    assert named <= open_choice
    assert kinds_chosen_from([]) == set()


def test_repeats_take_a_pan_each_and_a_way_each() -> None:
    document = a_shower()
    document["spaces"][0]["times"] = 3

    (need,) = [n for n in taken(document).needs if n.material == "PN-4060"]

    assert need.quantity == 3
    assert len(need.plan) == 3  # type: ignore[arg-type]


def test_a_pan_of_the_client_is_still_fitted() -> None:
    document = a_shower()
    pan_layer(document)["supplied_by"] = "client"

    pans = [n for n in taken(document).needs if n.material.startswith("PN-")]

    assert [need.supplied_by for need in pans] == ["client"]


def test_a_recess_that_no_pan_covers_is_refused_with_the_reasons() -> None:
    document = a_shower()
    document["spaces"][0]["surfaces"][0]["shape"]["height"] = "80"

    with pytest.raises(WrongSurface, match="PN-4060") as caught:
        taken(document)

    assert caught.value.field == "spaces[0].surfaces[0]"


def test_a_mortar_bed_takes_its_exact_volume() -> None:
    document = a_shower()
    document["price_list"]["materials"].append(
        {
            "code": "MB", "name": "Deck mud", "kind": "mortar",
            "facts": {"use": "bed", "litres_per_kg": "0.5", "loss": "0"},
            "packs": [{"label": "60 lb", "content": "60 lb",
                       "prices": [{"valid_from": "2026-01-01", "amount": "9"}]}],
        }
    )  # fmt: skip
    document["build_ups"]["shower_floor"]["layers"][0] = {
        "role": "mortar_bed", "material": "MB", "thickness": "1 1/4",
    }  # fmt: skip

    found = taken(document)

    (floor,) = found.slopes
    assert floor.way.kind == MORTAR
    width, depth = Length.inch("56 1/4"), Length.inch("37 3/8")
    mean = Length.inch("1 1/4").in_mm + depth.in_mm / 48 / 2
    litres = width.by(depth).sq_m * mean
    (need,) = [n for n in found.needs if n.material == "MB"]
    assert need.quantity == litres / Fraction("0.5")
    assert need.plan is None
