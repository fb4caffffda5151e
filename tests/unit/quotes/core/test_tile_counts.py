"""Tiles by set-out: whole and cut, and enough of them for what offcuts do not save."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from materials.core.errors import Refusal
from materials.core.need import Need
from materials.core.packaging import cheapest_packs
from materials.core.pricelist import catalogue_on
from quotes.core.layout.drawing import set_out_drawings
from quotes.core.takeoff import take_off
from quotes.core.tile_counts import TilePlan
from quotes.core.visit_file import read_visit
from tests.builders import a_bare_visit, a_surface

TILE = {
    "code": "T", "name": "Tile", "kind": "tile",
    "facts": {"length": "297", "width": "197", "thickness": "8", "joint": "3"},
    "packs": [{"label": "box", "content": "10",
               "prices": [{"valid_from": "2026-01-01", "amount": "20"}]}],
}  # fmt: skip


UNBROKEN = {"broken_cut": "0", "broken_whole": "0"}
"""Nothing breaks, so that what offcuts save is all that is unsure.

Where four tiles can be saved, three are ordered for their loss: of a beta of six saved
and two not, half or less is lost in 1 − (1 + 7)/2^7 = 93.75 % of jobs; 95 % are asked.
"""


def need(
    width: int, height: int, *, pattern: dict[str, Any] | None = None,
    times: int = 1, more: int = 1, facts: dict[str, str] | None = None,
    openings: list[dict[str, Any]] | None = None,
) -> Need:  # fmt: skip
    """Return the need of tile for `more` floors of one size."""
    shape = {"kind": "rectangle", "width": str(width), "height": str(height)}
    surfaces = [
        a_surface(
            f"s{n}",
            shape=shape,
            build_up="f",
            times=times,
            edges=["wall"] * 4,
            openings=openings or [],
        )
        for n in range(more)
    ]
    layer: dict[str, Any] = {"role": "tile", "material": "T"}
    if pattern:
        layer["pattern"] = pattern
    tile = {**TILE, "facts": {**TILE["facts"], **(facts or {})}}  # type: ignore[dict-item]
    visit = read_visit(
        a_bare_visit(
            *surfaces,
            build_ups={"f": {"name": "F", "layers": [layer]}},
            price_list={"materials": [tile]},
            ordering=UNBROKEN,
        )
    )
    assert visit.price_list is not None
    (found,) = take_off(visit, catalogue_on(visit.price_list, date(2026, 4, 1))).needs
    return found


def plan_of(found: Need) -> TilePlan:
    assert isinstance(found.plan, tuple)
    plan = found.plan[0]
    assert isinstance(plan, TilePlan)
    return plan


def test_a_floor_of_whole_tiles_takes_exactly_those() -> None:
    found = need(10 * 300 - 3, 8 * 200 - 3)

    assert found.quantity == 80
    assert found.bound == ""


def test_two_halves_are_cut_from_one_tile() -> None:
    """One tile and a cut: each row's cut is under half, so two come from a tile."""
    origin = ["0", "0"]

    found = need(300 + 140, 8 * 200 - 3, pattern={"name": "stack", "origin": origin})

    assert plan_of(found).plan.strict == 8 + 4
    assert plan_of(found).plan.no_reuse == 16
    assert found.quantity == 12 + 3


def test_repeats_multiply_the_count() -> None:
    pattern = {"name": "stack", "origin": ["0", "0"]}
    one = need(300 + 140, 8 * 200 - 3, pattern=pattern)
    three = need(300 + 140, 8 * 200 - 3, pattern=pattern, times=3)

    assert plan_of(three).plan.strict == plan_of(one).plan.strict
    assert 3 * plan_of(one).plan.strict < three.quantity <= 3 * one.quantity


def test_offcuts_of_two_floors_are_used_together() -> None:
    both = need(300 + 140, 200 - 3, more=2,
                pattern={"name": "stack", "origin": ["0", "0"]})  # fmt: skip

    assert plan_of(both).plan.strict == 3
    assert len(plan_of(both).places) == 2


def test_a_bond_is_laid_as_it_says() -> None:
    stack = need(3000, 2000)
    bond = need(3000, 2000, pattern={"name": "running_bond", "offset": "1/2"})

    assert plan_of(bond).pattern == "Running bond"
    assert plan_of(bond).plan.cut != plan_of(stack).plan.cut


def test_the_working_shows_whole_cut_and_reuse() -> None:
    pattern = {"name": "stack", "origin": ["0", "0"]}
    found = need(300 + 140, 8 * 200 - 3, pattern=pattern)
    formulas = [step.formula for step in found.working]

    assert any("whole and" in formula for formula in formulas)
    assert any("75 % of the" in formula for formula in formulas)


def test_a_pattern_of_other_tiles_stays_a_bound() -> None:
    for name in ("hopscotch", "windmill", "octagon_dot", "modular"):
        found = need(1000, 900, pattern={"name": name})

        assert "first guess" in found.bound


def test_hexagons_are_counted_from_flat_to_flat() -> None:
    """Of 297 mm and a joint of 3 a hexagon and its joints cover 0.0779 m²."""
    found = need(3000, 3000, pattern={"name": "hexagon"},
                 facts={"length": "297", "width": "343"})  # fmt: skip
    plan = plan_of(found).plan

    assert found.bound == ""
    assert 0 < plan.full < 9_000_000 / 77_942 < plan.no_reuse


def test_both_hands_of_a_chevron_are_ordered() -> None:
    found = need(2000, 1500, pattern={"name": "chevron", "slope": "45"})
    plan = plan_of(found)

    assert len(plan.plan.items) == 2
    assert plan.figures.full == sum(item.full for item in plan.plan.items)
    assert found.quantity >= plan.plan.strict


def test_very_many_tiles_stay_a_bound() -> None:
    found = need(40_000, 40_000, facts={"length": "97", "width": "97"})

    assert "first guess" in found.bound


def test_a_pattern_that_lacks_its_figure_is_refused_by_the_layer() -> None:
    with pytest.raises(Refusal) as caught:
        need(1000, 900, pattern={"name": "running_bond"})

    assert caught.value.field.startswith("build_ups.f.layers[0].")


def test_a_part_that_touches_itself_at_a_corner_stays_a_bound() -> None:
    """Two openings that meet at a corner leave a wall that touches itself there."""
    openings = [
        {"id": "a", "kind": "door", "left": "500", "bottom": "0", "width": "500",
         "height": "900"},
        {"id": "b", "kind": "window", "left": "0", "bottom": "900", "width": "500",
         "height": "600"},
    ]  # fmt: skip

    found = need(3000, 2000, openings=openings)

    assert "first guess" in found.bound
    assert found.quantity > 60


SHEET = {"length": "300", "width": "300", "joint": "2", "chip_length": "48"}


def test_a_mosaic_needs_sheets_and_rests_are_used_along_chips() -> None:
    """Six whole sheets and six strips of two chips, three strips to a sheet."""
    found = need(300 + 100 - 2, 1800 - 2, facts=SHEET,
                 pattern={"name": "stack", "origin": ["0", "0"]})  # fmt: skip

    sheets = plan_of(found).sheets
    assert sheets is not None
    assert (sheets.whole, sheets.parts, sheets.reused) == (6, 6, 8)
    assert found.quantity == 8 + 3
    assert any("11 sheets" in step.result for step in found.working)


def test_a_mosaic_has_a_drawing_of_its_chips() -> None:
    plan = plan_of(need(400, 300, facts=SHEET))

    (drawing,) = set_out_drawings(plan.tallies, plan.plan)

    assert len(drawing.pieces) == plan.plan.no_reuse == 6 * 8


def test_a_mosaic_sheet_of_no_whole_chips_is_refused_by_the_layer() -> None:
    with pytest.raises(Refusal, match="whole number of chips") as caught:
        need(1000, 900, facts={**SHEET, "chip_length": "40"})

    assert caught.value.field.startswith("build_ups.f.layers[0].")


def test_very_many_chips_stay_a_bound() -> None:
    assert "first guess" in need(40_000, 20_000, facts=SHEET).bound


SLAB = {"length": "1500", "width": "300"}


def test_the_offcuts_of_slabs_are_not_counted_on() -> None:
    """Two columns of half slabs: one slab would give both halves of a row."""
    pattern = {"name": "stack", "origin": ["0", "0"]}
    found = need(1503 + 700, 8 * 303 - 3, facts=SLAB, pattern=pattern)
    setting = need(1503 + 700, 8 * 303 - 3, pattern=pattern,
                   facts={**SLAB, "reuse_up_to": "1600"})  # fmt: skip

    assert found.quantity == 16
    assert any(step.label == "Slabs by the piece" for step in found.working)
    assert setting.quantity == 12 + 3


def test_a_tile_of_just_the_largest_size_is_no_slab() -> None:
    found = need(3000, 2000, facts={"length": "1200", "width": "300"})

    assert not plan_of(found).by_piece


def test_the_joint_stands_beside_the_work_size_from_price_list_to_need() -> None:
    """A module of 600: work size 597 and a joint of 3, ten by ten without a cut."""
    found = need(5997, 5997, facts={"length": "597", "width": "597", "joint": "3"})

    assert found.quantity == 100
    assert plan_of(found).plan.cut == 0


def test_a_directional_tile_is_not_turned_from_price_list_to_need() -> None:
    pattern = {"name": "stack", "origin": ["0", "0"]}
    free = need(300 + 140, 8 * 200 - 3, pattern=pattern)
    fixed = need(300 + 140, 8 * 200 - 3, pattern=pattern, facts={"directional": "yes"})

    assert plan_of(free).plan.strict == 12
    assert plan_of(fixed).plan.strict == 16
    assert fixed.quantity == 16


@pytest.mark.parametrize("counts", ["with joints", "without joints"])
def test_a_box_by_its_area_holds_what_its_joints_say(counts: str) -> None:
    """297 × 197 and 3: 16 fields make 0.96 m², 16 faces 0.9361 m²."""
    area = {"with joints": "0.96 m2", "without joints": "0.9361 m2"}[counts]
    facts = {**TILE["facts"], "box_area": counts}  # type: ignore[dict-item]
    listed: Any = TILE["packs"]
    packs = [{**listed[0], "content": area}]
    shape = {"kind": "rectangle", "width": "2997", "height": "1997"}
    layer = {"role": "tile", "material": "T"}
    visit = read_visit(
        a_bare_visit(
            a_surface("s0", build_up="f", edges=["wall"] * 4, shape=shape),
            build_ups={"f": {"name": "F", "layers": [layer]}},
            price_list={"materials": [{**TILE, "facts": facts, "packs": packs}]},
            ordering=UNBROKEN,
        )
    )
    assert visit.price_list is not None
    catalogue = catalogue_on(visit.price_list, date(2026, 4, 1))
    (found,) = take_off(visit, catalogue).needs

    assert found.quantity == 100
    choice = cheapest_packs(found.quantity, catalogue["T"].packs)
    assert [pack.count for pack in choice.packs] == [7]


def test_breakage_is_ordered_for_once_however_many_layers_there_are() -> None:
    """Two floors of one tile with two joints are one order."""
    one, two = whole_floors("3"), whole_floors("3", "4")

    assert one.quantity - 80 >= 1
    assert two.quantity - 160 < 2 * (one.quantity - 80)
    assert isinstance(two.plan, tuple)
    assert len(two.plan) == 2


def whole_floors(*joints: str) -> Need:
    """Return the need of floors of 80 whole tiles, each with a joint of its own."""
    surfaces, build_ups = [], {}
    for at, joint in enumerate(joints):
        shape = {
            "kind": "rectangle",
            "width": str(10 * (297 + int(joint)) - int(joint)),
            "height": str(8 * (197 + int(joint)) - int(joint)),
        }
        build_ups[f"f{at}"] = {
            "name": "F",
            "layers": [{"role": "tile", "material": "T", "joint": joint}],
        }
        surfaces.append(
            a_surface(f"s{at}", shape=shape, build_up=f"f{at}", edges=["wall"] * 4)
        )
    visit = read_visit(
        a_bare_visit(*surfaces, build_ups=build_ups, price_list={"materials": [TILE]})
    )
    assert visit.price_list is not None
    (found,) = take_off(visit, catalogue_on(visit.price_list, date(2026, 4, 1))).needs
    return found
