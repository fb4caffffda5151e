"""Regions cut from a surface, the field that is left, and the sides of each part."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from materials.core.lengths import MM, Length
from materials.core.outlines import Ring, doubled_area, rectangle
from quotes.core.errors import WrongSurface
from quotes.core.faces import Moved
from quotes.core.regions import (
    CUT,
    RegionPart,
    check_regions,
    divided,
    free_pieces,
)
from quotes.core.visit_file import read_visit
from tests.builders import a_bare_visit, a_surface

mm = Length.mm
WALL = rectangle(0, 0, 3000 * MM, 2000 * MM)


def box(left: int, bottom: int, right: int, top: int) -> Ring:
    return rectangle(left * MM, bottom * MM, right * MM, top * MM)


def parts(
    *regions: dict[str, Any], ring: Ring = WALL, holes: tuple[Ring, ...] = ()
) -> tuple[RegionPart, ...]:
    document = a_bare_visit(
        a_surface(
            role="wall",
            regions=[{"id": f"r{n}", **region} for n, region in enumerate(regions)],
        )
    )
    surface = read_visit(document).spaces[0].surfaces[0]
    return divided(surface, Moved(ring=ring, holes=holes, steps=()))


def areas(found: tuple[RegionPart, ...]) -> list[tuple[str, int]]:
    """Return name and area in square centimetres of each part."""
    return [(part.name, int(part.piece.area.sq_m * 10_000)) for part in found]


BAND = {"kind": "band", "bottom": "800", "height": "200"}


def test_without_regions_all_is_field() -> None:
    (field,) = parts()

    assert field.region is None
    assert [side.source for side in field.sides] == [0, 1, 2, 3]


def test_a_band_parts_the_field_in_two() -> None:
    assert areas(parts(BAND)) == [("band", 6000), ("", 24000), ("", 30000)]


def test_the_sides_of_a_part_know_where_they_come_from() -> None:
    band = parts(BAND)[0]

    assert sorted((side.source, side.length.ticks // MM) for side in band.sides) == [
        (CUT, 3000), (CUT, 3000), (1, 200), (3, 200),
    ]  # fmt: skip


def test_part_height_without_a_build_up_leaves_the_rest_bare() -> None:
    assert areas(parts({"kind": "part_height", "height": "1200"})) == [
        ("part height", 36000)
    ]


def test_part_height_with_a_build_up_keeps_the_field_above() -> None:
    found = parts({"kind": "part_height", "height": "1200", "build_up": "x"})

    assert areas(found) == [("part height", 36000), ("", 24000)]


def test_a_panel_inside_is_a_hole_in_the_field() -> None:
    panel, field = parts({
        "kind": "panel", "left": "500", "bottom": "500", "width": "1000",
        "height": "400", "name": "mosaic",
    })  # fmt: skip

    assert panel.name == "mosaic"
    assert panel.piece.area.sq_m * 10 == 4
    assert len(field.piece.holes) == 1
    assert field.piece.area.sq_m * 10 == 56


def test_a_panel_at_the_edge_leaves_the_rest_in_parts_that_add_up() -> None:
    found = parts({
        "kind": "panel", "left": "0", "bottom": "500", "width": "1000",
        "height": "400",
    })  # fmt: skip

    assert sum(area for _, area in areas(found)) == 60000


def test_a_border_is_a_frame_round_the_field() -> None:
    border, field = parts({"kind": "border", "width": "100"})

    assert areas((border, field)) == [("border", 9600), ("", 50400)]
    assert {side.source for side in field.sides} == {CUT}


@pytest.mark.parametrize("width", ["1000", "1200", "1600", "9000"])
def test_a_border_wider_than_its_surface_is_refused(width: str) -> None:
    with pytest.raises(WrongSurface, match="narrower"):
        parts({"kind": "border", "width": width})


def test_an_opening_across_a_border_is_refused() -> None:
    with pytest.raises(WrongSurface, match="across its border"):
        parts({"kind": "border", "width": "100"}, holes=(box(50, 500, 300, 900),))


def test_an_opening_clear_of_the_border_stays_in_the_field() -> None:
    border, field = parts(
        {"kind": "border", "width": "100"}, holes=(box(500, 500, 900, 900),)
    )

    assert len(border.piece.holes) == 1
    assert len(field.piece.holes) == 1


@pytest.mark.parametrize(
    ("region", "field"),
    [
        ({"kind": "band", "bottom": "800", "height": "1300"}, "height"),
        ({"kind": "part_height", "height": "2101"}, "height"),
        ({"kind": "panel", "left": "2900", "bottom": "0", "width": "200",
          "height": "100"}, "width"),
    ],
)  # fmt: skip
def test_a_region_past_the_measured_surface_is_refused_by_its_size(
    region: dict[str, Any], field: str
) -> None:
    surface = replace(
        read_visit(a_bare_visit(a_surface(role="wall"))).spaces[0].surfaces[0],
        regions=read_visit(
            a_bare_visit(a_surface(role="wall", regions=[{"id": "r", **region}]))
        ).spaces[0].surfaces[0].regions,
    )  # fmt: skip

    with pytest.raises(WrongSurface, match="check its place") as caught:
        check_regions(surface, box(0, 0, 3000, 2000), "metric")

    assert caught.value.field == f"regions[0].{field}"


def test_a_band_up_to_the_ceiling_is_one() -> None:
    document = a_bare_visit(
        a_surface(
            role="wall",
            regions=[{"id": "r", "kind": "part_height", "height": "2000"}],
        )
    )

    check_regions(
        read_visit(document).spaces[0].surfaces[0], box(0, 0, 3000, 2000), "metric"
    )


def test_a_region_outside_is_refused_by_its_number() -> None:
    with pytest.raises(WrongSurface, match="lies outside") as caught:
        parts(BAND, {"kind": "band", "bottom": "2100", "height": "100"})

    assert caught.value.field == "regions[1]"


def test_regions_take_their_area_in_the_order_they_are_written() -> None:
    found = parts(BAND, {"kind": "band", "bottom": "900", "height": "200"})

    assert areas(found)[:2] == [("band", 6000), ("band", 3000)]


def test_a_door_is_a_notch_and_takes_its_width_off_the_foot() -> None:
    (field,) = parts(holes=(box(500, 0, 1300, 1900),))

    assert field.piece.holes == ()
    foot = [side.length for side in field.sides if side.source == 0]
    assert sum(length.ticks for length in foot) == mm(2200).ticks


def test_a_door_that_the_floor_has_risen_into_is_cut_at_the_floor() -> None:
    risen = rectangle(0, 30 * MM, 3000 * MM, 2000 * MM)

    (field,) = parts(ring=risen, holes=(box(500, 0, 1300, 1900),))

    assert field.piece.area.sq_m * 1000 == 3 * 1970 - 800 * 1870 / 1000


def test_an_opening_in_a_corner_is_cut_out_of_two_sides() -> None:
    (field,) = parts(holes=(box(0, 0, 800, 1900),))

    assert len(field.piece.outline) == 6
    assert field.piece.area.sq_m * 100 == 600 - 152


def test_an_opening_in_the_middle_is_a_hole() -> None:
    (field,) = parts(holes=(box(500, 500, 900, 900),))

    (hole,) = field.piece.holes
    assert set(hole) == set(box(500, 500, 900, 900))
    assert doubled_area(hole) < 0


def test_only_the_free_sides_of_an_opening_count() -> None:
    assert free_pieces(box(500, 500, 900, 800), WALL) == [
        mm(400), mm(300), mm(400), mm(300),
    ]  # fmt: skip
    assert free_pieces(box(500, 0, 900, 800), WALL) == [mm(800), mm(400), mm(800)]
