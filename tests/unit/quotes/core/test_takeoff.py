"""A whole visit taken off: needs pooled, corners once, refusals by their place."""

from __future__ import annotations

import copy
from dataclasses import replace
from datetime import date
from fractions import Fraction
from functools import cache
from typing import Any

import pytest

from materials.core.areas import Area
from materials.core.errors import Refusal, Unknown
from materials.core.lengths import Length
from materials.core.need import Need, RackPiece
from materials.core.plans.board_records import digest_of
from materials.core.plans.records import plans_of
from materials.core.pricelist import catalogue_on
from materials.core.working import length_in
from quotes.core.board_problems import board_problems
from quotes.core.taken import Takeoff
from quotes.core.takeoff import take_off
from quotes.core.visit_file import read_visit
from tests.builders import a_bare_visit, a_hall, a_kitchen_wall, a_shower, a_surface

ON = date(2026, 4, 1)


def taken(document: dict[str, Any]) -> Takeoff:
    visit = read_visit(document)
    list_ = visit.price_list
    return take_off(visit, catalogue_on(list_, ON) if list_ else {})


@cache
def shower() -> Takeoff:
    return taken(a_shower())


def need_of(takeoff: Takeoff, code: str) -> Need:
    (need,) = [need for need in takeoff.needs if need.material == code]
    return need


def two_build_ups(**changes: Any) -> dict[str, Any]:
    """Return the shower with the board of one wall entered otherwise."""
    document = a_shower()
    other = copy.deepcopy(document["build_ups"]["wet_wall"])
    other["layers"][0] |= changes
    document["build_ups"]["other_wall"] = other
    walls = [
        surface
        for space in document["spaces"]
        for surface in space["surfaces"]
        if surface.get("build_up") == "wet_wall"
    ]
    walls[-1]["build_up"] = "other_wall"
    return document


def test_boards_of_other_settings_are_cut_from_the_same_sheets() -> None:
    one = need_of(shower(), "KB-12")

    other = need_of(taken(two_build_ups(thickness="5/8")), "KB-12")

    (plan,) = plans_of(other)
    assert other.quantity == one.quantity
    assert len(plan.surfaces) == len(plans_of(one)[0].surfaces)


def test_a_kept_board_is_planned_for_who_buys_from_us_and_once() -> None:
    visit = read_visit(two_build_ups(supplied_by="client"))
    assert visit.price_list is not None
    catalogue = catalogue_on(visit.price_list, ON)
    board = catalogue["KB-12"]
    whole = RackPiece(
        key="k",
        words="van",
        width=length_in(board.facts, "width"),
        height=length_in(board.facts, "length"),
    )
    kept = {**catalogue, "KB-12": replace(board, rack=(whole,))}

    needs = [one for one in take_off(visit, kept).needs if one.material == "KB-12"]

    taken_from = {one.supplied_by: plans_of(one)[0].taken for one in needs}
    assert taken_from == {"client": (), "us": ("k",)}
    assert sorted(digest_of(plans_of(one)[0].problem) for one in needs) == sorted(
        board_problems(visit, kept)
    )


def test_a_visit_without_surfaces_needs_nothing() -> None:
    found = taken(a_bare_visit())

    assert (found.surfaces, found.needs, found.measures) == ((), (), ())


def test_a_surface_without_a_build_up_is_measured_and_needs_nothing() -> None:
    found = taken(a_bare_visit(a_surface()))

    assert found.surfaces[0].net_area == Area.sq_m_of(Fraction(6))
    assert found.needs == ()


@pytest.mark.parametrize(("top", "said"), [("3000", 0), ("2995", 0), ("2990", 1)])
def test_what_does_not_close_is_said_beyond_what_a_tape_explains(
    top: str, said: int
) -> None:
    shape = {
        "kind": "run", "sides": ["3000", "2000", top, "2000"],
        "corners": ["90", "90", "90"],
    }  # fmt: skip

    found = taken(a_bare_visit(a_surface(shape=shape)))

    closing = [one for one in found.cautions if one.code == "closing"]
    assert len(closing) == said
    assert all("Read it again" in one.sentence for one in closing)


def test_every_material_of_a_shower_is_needed_once() -> None:
    codes = [need.material for need in shower().needs]

    assert sorted(codes) == [
        "AD-50", "BN-5", "DR-32", "FS-114", "GR-10", "GR-25", "KB-12", "LM-2", "MS-2",
        "PF-8", "PN-4060", "SL-10", "TL-412",
    ]  # fmt: skip


def test_needs_stand_in_the_order_of_the_work() -> None:
    codes = [need.material for need in taken(a_hall()).needs]

    assert codes == ["PR-1", "LV-25", "AD-20", "FT-60", "GR-5", "SL-31"]


def test_a_material_of_two_build_ups_is_pooled_with_both_workings() -> None:
    adhesive = need_of(shower(), "AD-50")

    labels = [step.label for step in adhesive.working]
    assert "Printed coverage" in labels
    assert "Bed" in labels
    assert len(adhesive.places) == 4


def test_the_corners_of_a_shower_count_once() -> None:
    found = shower()

    inside = sum((s.inside_corners for s in found.surfaces), start=Length(0))
    finished = Length.inch("91 1/2")
    assert inside > finished * 2
    assert inside < finished * 2 + Length.inch("56 1/4") + Length.inch("37 3/8") * 2


def test_sealant_follows_the_corners_and_not_twice() -> None:
    found = shower()

    joints = sum(m.quantity for m in found.measures if m.key == "sealant_joint")
    corners = sum(m.quantity for m in found.measures if m.key == "inside_corner")
    perimeter = sum(m.quantity for m in found.measures if m.key == "perimeter")
    assert joints == corners + perimeter


def test_repeats_multiply_needs_and_measures() -> None:
    once, many = a_hall(), a_hall()
    many["spaces"][0]["times"] = 12

    one, twelve = taken(once), taken(many)

    for code in ("LV-25", "AD-20", "GR-5"):
        assert need_of(twelve, code).quantity == 12 * need_of(one, code).quantity
    areas = [m.quantity for m in one.measures if m.layer == "tile"]
    assert [m.quantity for m in twelve.measures if m.layer == "tile"] == [
        12 * area for area in areas
    ]


def test_goods_of_the_client_stay_apart_from_ours() -> None:
    document = a_hall()
    document["build_ups"]["hall_floor"]["layers"][3]["supplied_by"] = "client"

    tile = need_of(taken(document), "FT-60")

    assert tile.supplied_by == "client"
    assert tile.quantity > 0


def test_the_same_tile_from_two_hands_is_two_needs() -> None:
    document = a_kitchen_wall()
    other = {**document["build_ups"]["splash"], "name": "other"}
    other["layers"] = [
        {**layer, "supplied_by": "client"} if layer["role"] == "tile" else layer
        for layer in other["layers"]
    ]
    document["build_ups"]["other"] = other
    document["spaces"][0]["surfaces"][1]["build_up"] = "other"

    tiles = [n for n in taken(document).needs if n.material == "WT-20"]

    assert {need.supplied_by for need in tiles} == {"us", "client"}


def test_a_layer_without_a_material_is_labour_only() -> None:
    document = a_hall()
    document["build_ups"]["hall_floor"]["layers"].append({"role": "cleaning"})

    found = taken(document)

    assert [m.quantity for m in found.measures if m.layer == "cleaning"]
    assert len(found.needs) == 6


def test_an_unknown_product_is_refused_by_its_layer() -> None:
    document = a_hall()
    document["build_ups"]["hall_floor"]["layers"][3]["material"] = "FT-99"

    with pytest.raises(Unknown, match="FT-99") as caught:
        taken(document)

    assert caught.value.field == "build_ups.hall_floor.layers[3].material"


def test_a_product_of_the_wrong_kind_is_refused_by_its_layer() -> None:
    document = a_hall()
    document["build_ups"]["hall_floor"]["layers"][3]["material"] = "GR-5"

    with pytest.raises(Unknown, match="tile layer takes a tile") as caught:
        taken(document)

    assert caught.value.field == "build_ups.hall_floor.layers[3].material"


def test_an_opening_larger_than_its_wall_is_refused_by_its_place() -> None:
    document = a_shower()
    document["spaces"][0]["surfaces"][1]["openings"][0]["width"] = "80"

    with pytest.raises(Refusal) as caught:
        taken(document)

    assert caught.value.field == "spaces[0].surfaces[1].openings[0]"


def test_a_price_changes_no_need_but_the_choice_of_the_pan() -> None:
    dear = a_shower()
    for material in dear["price_list"]["materials"]:
        if material["code"] == "PN-4060":
            material["packs"][0]["prices"][0]["amount"] = "400.00"

    codes = {need.material for need in taken(dear).needs}

    assert "PN-4872" in codes
    assert "PN-4060" not in codes


def test_equal_visits_are_taken_off_alike() -> None:
    one, two = taken(a_shower()), taken(a_shower())

    assert one.measures == two.measures
    assert [(n.material, n.quantity, n.working) for n in one.needs] == [
        (n.material, n.quantity, n.working) for n in two.needs
    ]


@pytest.mark.parametrize("build", [a_shower, a_hall, a_kitchen_wall])
def test_every_need_shows_its_working_and_its_places(build: Any) -> None:
    for need in taken(build()).needs:
        assert need.quantity > 0
        assert need.working
        assert all(step.label for step in need.working)
        assert need.places


@pytest.mark.parametrize("build", [a_shower, a_hall, a_kitchen_wall])
def test_measuring_in_the_other_system_needs_the_same(build: Any) -> None:
    """Every length written out in the other unit, with its unit: needs are equal."""
    document = build()
    unit = "in" if document["unit"] == "mm" else "mm"
    own = "mm" if document["unit"] == "mm" else '"'

    def spelt(node: Any, key: str = "") -> Any:
        if isinstance(node, dict):
            return {name: spelt(value, name) for name, value in node.items()}
        if isinstance(node, list):
            return [spelt(value, key) for value in node]
        lengths = (
            "width", "height", "cut_width", "cut_height", "left", "bottom", "depth",
            "from", "length", "lowest", "thickness", "land", "back_butter", "turning",
            "joint", "joint_min", "joint_max", "x", "y", "lap", "roll_width", "spacing",
            "edge_spacing", "chip_length", "chip_width", "thin", "thick", "strip",
            "thickness_min",
        )  # fmt: skip
        plain = (
            isinstance(node, str) and node.replace(" ", "").replace("/", "").isdigit()
        )
        return f"{node} {own}" if key in lengths and plain else node

    first = taken(document)
    second = taken({**spelt(document), "unit": unit})

    assert [(n.material, n.quantity) for n in first.needs] == [
        (n.material, n.quantity) for n in second.needs
    ]
