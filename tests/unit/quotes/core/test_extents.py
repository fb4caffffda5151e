"""Each layer of each region: its face, edges, corners, openings, drain."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from materials.core.errors import Refusal
from materials.core.lengths import NOTHING, Length
from materials.core.need import MaterialFacts
from quotes.core.extents import LayerExtent, layer_extents
from quotes.core.standing import placed_surfaces
from quotes.core.visit_file import read_visit
from tests.builders import a_bare_visit, a_surface

mm = Length.mm
CATALOGUE = {
    "T": MaterialFacts(code="T", name="Tile", kind="tile", facts={
        "length": mm(297), "width": mm(197), "thickness": mm(8), "joint": mm(3)}),
}  # fmt: skip
BUILD_UPS = {
    "f": {"name": "F", "layers": [
        {"role": "leveller", "thickness": "5"}, {"role": "bed"},
        {"role": "tile", "material": "T", "joint": "2",
         "pattern": {"name": "stack"}}, {"role": "sealant"}, {"role": "trim"}]},
    "m": {"name": "M", "layers": [{"role": "tile", "material": "T"}]},
}  # fmt: skip


def extents(**changes: Any) -> list[LayerExtent]:
    document = a_bare_visit(
        a_surface(**{"build_up": "f", **changes}), build_ups=BUILD_UPS
    )
    (placed,) = placed_surfaces(read_visit(document), CATALOGUE)
    return layer_extents(placed)


def of(layer: str, /, **changes: Any) -> LayerExtent:
    return next(one for one in extents(**changes) if one.layer.role == layer)


def test_there_is_one_for_each_layer_in_the_order_of_the_build_up() -> None:
    assert [one.layer.role for one in extents()] == [
        "leveller", "bed", "tile", "sealant", "trim",
    ]  # fmt: skip


def test_bed_and_grout_know_the_tile_with_the_joint_its_layer_sets() -> None:
    tile = of("bed").extent.tile

    assert tile is not None
    assert (tile.length, tile.joint) == (mm(297), mm(2))


def test_each_says_which_layer_of_which_build_up_it_is() -> None:
    assert of("tile").layer_path == "build_ups.f.layers[2]"
    assert of("tile").pattern == {"name": "stack"}


def test_a_region_with_its_own_build_up_takes_its_layers() -> None:
    band = {"id": "b", "kind": "band", "name": "stripe", "bottom": "900",
            "height": "200", "build_up": "m"}  # fmt: skip

    found = extents(role="wall", regions=[band])

    stripe = [one for one in found if one.extent.place.endswith("stripe")]
    assert [one.build_up.key for one in stripe] == ["m"]
    assert {edge.kind for edge in stripe[0].extent.edges} == {"wall", "region"}
    tiled = sum(one.extent.area.sq_m for one in found if one.layer.role == "tile")
    assert tiled == 6


def test_edges_against_nothing_tiled_are_perimeter() -> None:
    extent = of("sealant", edges=["wall", "exposed", "threshold", "fold"]).extent

    assert extent.perimeter == mm(3000)
    assert extent.outside_corners == mm(2000)
    assert extent.inside_corners == NOTHING


WINDOW = {"id": "w", "kind": "window", "left": "500", "bottom": "500", "width": "600",
          "height": "400", "trim": True}  # fmt: skip


def test_a_window_is_sealed_and_trimmed_round_and_counts_as_a_cut_out() -> None:
    plain, opened = of("sealant").extent, of("sealant", openings=[WINDOW]).extent

    assert opened.perimeter - plain.perimeter == mm(2000)
    assert sum(opened.reveals, start=NOTHING) == mm(2000)
    assert opened.cut_outs == 1
    assert opened.area.sq_m == plain.area.sq_m - Fraction("0.24")


def test_a_door_has_no_sill_and_takes_its_width_off_the_foot() -> None:
    door = {**WINDOW, "kind": "door", "bottom": "0", "height": "1900"}

    plain, opened = of("sealant").extent, of("sealant", openings=[door]).extent

    assert opened.perimeter - plain.perimeter == mm(2 * 1900 + 600 - 600)
    assert opened.cut_outs == 0


def test_openings_count_with_the_largest_part_alone() -> None:
    band = {"id": "b", "kind": "band", "bottom": "1500", "height": "100"}

    found = extents(role="wall", regions=[band], openings=[WINDOW])

    counts = [one.extent.cut_outs for one in found if one.layer.role == "tile"]
    assert sorted(counts) == [0, 0, 1]


def test_spot_heights_give_the_leveller_its_volume_and_no_other_layer() -> None:
    heights = [{"x": x, "y": y, "height": h} for x, y, h in (
        ("0", "0", "0"), ("3000", "0", "10"), ("3000", "2000", "10"),
        ("0", "2000", "0"))]  # fmt: skip

    assert of("leveller", heights=heights).extent.volume == 30 + 6 * 5
    assert of("bed", heights=heights).extent.volume is None


def test_a_drain_becomes_ticks_in_the_outline_s_frame() -> None:
    linear = of(
        "tile",
        role="recess",
        drain={"kind": "linear", "side": 0, "from": "100", "length": "800"},
    ).extent.recess
    point = of("tile", role="recess", drain={
        "kind": "point", "at": ["1500", "1000"]}).extent.recess  # fmt: skip

    assert linear is not None
    assert linear.drain["start"] == mm(100).ticks
    assert point is not None
    assert point.drain["at"] == (mm(1500).ticks, mm(1000).ticks)


@pytest.mark.parametrize(
    ("drain", "field"),
    [
        ({"kind": "linear", "side": 4, "length": "800"}, "drain.side"),
        ({"kind": "linear", "side": 0, "from": "2500", "length": "800"},
         "drain.length"),
    ],
)  # fmt: skip
def test_a_drain_that_cannot_lie_there_is_refused(
    drain: dict[str, Any], field: str
) -> None:
    with pytest.raises(Refusal) as caught:
        extents(role="recess", drain=drain)

    assert caught.value.field == f"spaces[0].surfaces[0].{field}"
