"""What does not go together is said, with its place and where it comes from."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from materials.core.pricelist import catalogue_on
from quotes.core.taken import Caution
from quotes.core.takeoff import take_off
from quotes.core.visit_file import read_visit
from tests.builders import a_bare_visit, a_kitchen_wall, a_shower, a_surface


def cautions(document: dict[str, Any]) -> tuple[Caution, ...]:
    visit = read_visit(document)
    assert visit.price_list is not None
    return take_off(visit, catalogue_on(visit.price_list, date(2026, 4, 1))).cautions


def codes(document: dict[str, Any]) -> set[str]:
    return {caution.code for caution in cautions(document)}


def a_list(*materials: dict[str, Any]) -> dict[str, Any]:
    return {"materials": list(materials)}


def a_tile(**facts: Any) -> dict[str, Any]:
    given = {"length": "300", "width": "300", "thickness": "8", "joint": "3"}
    return {"code": "T", "name": "Slate look", "kind": "tile",
            "facts": {**given, **facts}}  # fmt: skip


BOARD = {"code": "B", "name": "Light board", "kind": "backer_board",
         "facts": {"width": "600", "length": "1200", "thickness": "12",
                   "core": "foam"}}  # fmt: skip
SEAL = {"code": "M", "name": "Seal", "kind": "membrane",
        "facts": {"form": "liquid", "per_coat": "0.6"}}  # fmt: skip


def a_room(
    *roles: tuple[str, str], materials: tuple[dict[str, Any], ...], **surface: Any
) -> dict[str, Any]:
    layers = [{"role": role, "material": code} for role, code in roles]
    return a_bare_visit(
        a_surface(build_up="f", **surface),
        build_ups={"f": {"name": "Floor", "layers": layers}},
        price_list=a_list(*materials),
    )


TILED = (("tile", "T"),)


def test_a_shower_that_is_whole_has_no_cautions_of_its_own() -> None:
    assert codes(a_shower()) == set()


def test_foam_near_heat_is_said() -> None:
    document = a_room(
        ("board", "B"), materials=(BOARD,), role="wall", exposure="near_heat"
    )

    assert "foam_near_heat" in codes(document)


@pytest.mark.parametrize("exposure", ["wet", "steam", "under_water"])
def test_a_wet_area_without_waterproofing_is_said(exposure: str) -> None:
    bare = a_room(*TILED, materials=(a_tile(),), exposure=exposure)
    sealed = a_room(
        ("waterproofing", "M"), *TILED, materials=(a_tile(), SEAL), exposure=exposure
    )

    assert "wet_without_waterproofing" in codes(bare)
    assert "wet_without_waterproofing" not in codes(sealed)


def test_a_recess_without_a_fall_or_a_drain_is_said() -> None:
    flat = a_room(*TILED, materials=(a_tile(),), role="recess")

    assert "no_fall" in codes(flat)


def test_a_tile_without_a_slip_value_on_a_wet_floor_is_said() -> None:
    bare = a_room(*TILED, materials=(a_tile(),), exposure="wet")
    rated = a_room(*TILED, materials=(a_tile(slip="R10 B"),), exposure="wet")
    ramp = a_room(*TILED, materials=(a_tile(),), use="ramp")
    wall = a_room(*TILED, materials=(a_tile(),), exposure="wet", role="wall")

    assert "no_slip_value" in codes(bare)
    assert "no_slip_value" in codes(ramp)
    assert "no_slip_value" not in codes(rated)
    assert "no_slip_value" not in codes(wall)


def test_a_tile_not_known_to_be_frost_proof_is_said() -> None:
    frost = {"exposure": "outdoors_frost"}

    assert "not_frost_proof" in codes(a_room(*TILED, materials=(a_tile(),), **frost))
    assert "not_frost_proof" not in codes(
        a_room(*TILED, materials=(a_tile(frost_proof="yes"),), **frost)
    )


@pytest.mark.parametrize(("length", "said"), [("381", True), ("380", False)])
def test_a_side_of_15_in_asks_for_a_flatter_floor(length: str, said: bool) -> None:
    document = a_room(*TILED, materials=(a_tile(length=length),))

    assert ("flatness" in codes(document)) == said


def test_a_rule_in_inches_keeps_its_own_units_on_a_metric_sheet() -> None:
    document = a_room(*TILED, materials=(a_tile(length="600"),))

    (flat,) = (one for one in cautions(document) if one.code == "flatness")
    assert "15 in (about 380 mm)" in flat.sentence
    assert "1/8 in in 10 ft (about 3 mm in 3 m)" in flat.sentence


def test_steam_asks_for_a_vapour_resistant_layer_and_a_sloped_ceiling() -> None:
    plain = a_room(("waterproofing", "M"), *TILED, materials=(a_tile(), SEAL),
                   role="ceiling", exposure="steam")  # fmt: skip
    tight = {**SEAL, "facts": {**SEAL["facts"], "vapour_resistant": "yes"}}  # type: ignore[dict-item]
    sloped = a_room(("waterproofing", "M"), *TILED, materials=(a_tile(), tight),
                    role="ceiling", exposure="steam",
                    slope={"min": "1/12", "max": "1/6"})  # fmt: skip

    assert {"steam_without_vapour_layer", "steam_flat_ceiling"} <= codes(plain)
    assert not {"steam_without_vapour_layer", "steam_flat_ceiling"} & codes(sloped)


def test_unrated_grout_under_water_is_said() -> None:
    grout = {"code": "G", "name": "Grout", "kind": "grout", "facts": {}}
    document = a_room(
        *TILED, ("grout", "G"), materials=(a_tile(), grout), exposure="under_water"
    )

    assert "grout_under_water" in codes(document)


def test_a_product_listed_for_other_places_is_said_with_those() -> None:
    found = [c for c in cautions(a_kitchen_wall()) if c.code == "not_suited"]

    assert len(found) == 1
    assert "splash, wet, heated" in found[0].sentence


def test_a_harsh_place_asks_for_the_sheet_where_none_is_held() -> None:
    assert "sheet_required" in codes(
        a_room(*TILED, materials=(a_tile(),), exposure="heated")
    )
    assert "sheet_required" not in codes(
        a_room(*TILED, materials=(a_tile(),), exposure="splash")
    )


def a_recess(width: str, depth: str, **more: Any) -> dict[str, Any]:
    document = a_room(*TILED, materials=(a_tile(slip="R10"),), role="recess", **more)
    shape = {"kind": "rectangle", "width": width, "height": depth}
    document["spaces"][0]["surfaces"][0]["shape"] = shape
    return {**document, "unit": "mm"}


@pytest.mark.parametrize(
    ("width", "depth", "measured_to", "said"),
    [
        ("24 in", "36 in", "finished", True),
        ("36 in", "60 in", "finished", False),
        ("31 in", "60 in", "framing", True),
        ("31 in", "60 in", "finished", False),
        ("26 in", "52 in", "finished", True),
        ("24 in", "60 in", "finished", True),
    ],
)
def test_a_recess_below_the_model_code_is_said_by_its_finished_size(
    width: str, depth: str, measured_to: str, said: bool
) -> None:
    document = a_recess(width, depth, measured_to=measured_to)

    assert ("small_shower" in codes(document)) == said


def test_walls_that_were_measured_narrow_a_recess_by_what_they_carry() -> None:
    document = a_shower()
    surfaces = document["spaces"][0]["surfaces"]
    surfaces[0]["shape"] |= {"width": "30 5/8", "height": "60"}
    surfaces[0]["drain"]["length"] = "27"
    surfaces[1]["shape"]["width"] = "30 5/8"
    surfaces[1]["openings"] = []
    for wall in surfaces[2:]:
        wall["shape"]["width"] = "60"
    for material in document["price_list"]["materials"]:
        if material["kind"] == "foam_pan":
            material["facts"] |= {"width": "60", "depth": "72", "thick": "2 3/4"}

    found = [c for c in cautions(document) if c.code == "small_shower"]

    assert len(found) == 1
    assert "lining" not in found[0].sentence
    assert "which it has" in found[0].sentence


def test_every_caution_says_where_it_comes_from() -> None:
    for caution in cautions(a_kitchen_wall()):
        assert caution.source is not None
        assert caution.sentence.endswith(".")
