"""Field, border, band and niche back: each is set out and counted as its own part."""

from __future__ import annotations

from typing import Any

from materials.core.lengths import MM
from materials.core.pricelist import catalogue_on
from quotes.core.takeoff import take_off
from quotes.core.tile_counts import TilePlan
from quotes.core.visit_file import read_visit
from tests.builders import a_bare_visit, a_surface


def a_tile(code: str, length: str, width: str) -> dict[str, Any]:
    facts = {"length": length, "width": width, "thickness": "9", "joint": "2"}
    return {"code": code, "name": f"Tile {code}", "kind": "tile", "facts": facts}


TILES = (a_tile("F", "300", "98"), a_tile("B", "98", "98"))


def a_build_up(code: str, pattern: dict[str, Any]) -> dict[str, Any]:
    layer = {"role": "tile", "material": code, "pattern": pattern}
    return {"name": code, "layers": [layer]}


def plans(*regions: dict[str, Any], **surface: Any) -> dict[str, tuple[TilePlan, int]]:
    """Return each part by its place: its plan and its place in it."""
    document = a_bare_visit(
        a_surface(
            build_up="f",
            measured_to="finished",
            regions=[{"id": f"r{n}", **region} for n, region in enumerate(regions)],
            **surface,
        ),
        build_ups={
            "f": a_build_up("F", {"name": "herringbone"}),
            "b": a_build_up("B", {"name": "stack", "origin": ["0", "0"]}),
            "s": a_build_up("F", {"name": "stack"}),
        },
        price_list={"materials": list(TILES)},
    )
    visit = read_visit(document)
    assert visit.price_list is not None
    needs = take_off(visit, catalogue_on(visit.price_list, visit.measured_on)).needs
    found: dict[str, tuple[TilePlan, int]] = {}
    for need in needs:
        rows = need.plan if isinstance(need.plan, tuple) else (need.plan,)
        for plan in rows:
            assert isinstance(plan, TilePlan)
            for at, place in enumerate(plan.places):
                found[place] = plan, at
    return found


def area_mm2(plan: TilePlan, at: int) -> int:
    return round(plan.tallies[at].tiled_area / MM**2)


def test_a_herringbone_field_stands_inside_a_border_of_two_rows() -> None:
    found = plans({"kind": "border", "width": "200", "build_up": "b"})

    border = next(found[place] for place in found if place.endswith("border"))
    field = next(found[place] for place in found if not place.endswith("border"))
    assert field[0].pattern == "Herringbone"
    assert area_mm2(*field) == (3000 - 400) * (2000 - 400)
    assert area_mm2(*border) == 3000 * 2000 - 2600 * 1600
    # Rows of 98 + 2 mm from the corner: 3000 and 2000 are whole rows, so is the
    # border: 30 × 20 tiles less 26 × 16 inside, all of them whole.
    tally = border[0].tallies[border[1]]
    assert (tally.full_count, tally.cut_count) == (30 * 20 - 26 * 16, 0)
    assert field[0].tallies[field[1]].cut_count > 0


def test_a_band_is_cut_at_both_its_edges() -> None:
    band = {"kind": "band", "bottom": "800", "height": "250", "build_up": "b",
            "pattern": {"name": "stack"}}  # fmt: skip
    found = plans(band, role="wall")

    plan, at = next(found[place] for place in found if place.endswith("band"))
    heights = {round(piece.height / MM) for piece in plan.tallies[at].pieces}
    # 250 mm: one whole course in the middle and an equal cut above and below it, each
    # (250 − 98 − 2 × 2) ÷ 2.
    assert 74 in heights
    assert plan.tallies[at].smallest_cut is not None
    field, _at = next(found[place] for place in found if not place.endswith("band"))
    assert field.places == ("Room, floor", "Room, floor")


def test_a_niche_back_is_set_out_on_its_own() -> None:
    back = {"kind": "niche_back", "left": "900", "bottom": "1000", "width": "600",
            "height": "300", "build_up": "b"}  # fmt: skip
    found = plans(back, role="wall")

    plan, at = next(found[place] for place in found if "niche back" in place)
    assert area_mm2(plan, at) == 600 * 300
    assert plan.tallies[at].full_count == 6 * 3
    field = next(found[place] for place in found if "niche back" not in place)
    assert area_mm2(*field) == 3000 * 2000 - 600 * 300
