"""The figures labour is worked out from, and each surface at its three faces."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from typing import Any

from materials.core.lengths import Length
from materials.core.pricelist import catalogue_on
from quotes.core.taken import MEASURE_KEYS, Measure, Takeoff
from quotes.core.takeoff import take_off
from quotes.core.visit_file import read_visit
from tests.builders import a_bare_visit, a_hall, a_kitchen_wall, a_shower, a_surface

mm = Length.mm


def taken(document: dict[str, Any]) -> Takeoff:
    visit = read_visit(document)
    prices = visit.price_list
    return take_off(visit, catalogue_on(prices, date(2026, 4, 1)) if prices else {})


def measure(found: Takeoff, key: str, layer: str = "") -> list[Measure]:
    return [m for m in found.measures if m.key == key and m.layer == layer]


def test_only_keys_that_are_listed_are_used() -> None:
    for build in (a_shower, a_hall, a_kitchen_wall):
        assert {m.key for m in taken(build()).measures} <= set(MEASURE_KEYS)


def test_a_surface_is_given_at_framing_board_and_finished_face() -> None:
    back = taken(a_shower()).surfaces[1]

    assert [face.face for face in back.faces] == ["framing", "board", "finished"]
    framing, board, finished = (face.area for face in back.faces)
    assert framing > board > finished == back.net_area


def test_what_is_derived_of_a_surface_is_lengths_and_areas() -> None:
    found = taken(
        a_bare_visit(a_surface(edges=["wall", "exposed", "threshold", "fold"]))
    )

    (surface,) = found.surfaces
    assert surface.perimeter == mm(10_000)
    assert surface.exposed_length == mm(2000)
    assert surface.outside_corners == mm(2000)
    (threshold,) = measure(found, "threshold")
    assert threshold.quantity == 3


def test_closing_error_is_carried_to_the_surface() -> None:
    shape = {
        "kind": "run", "sides": ["3000", "2000", "2990", "2000"],
        "corners": ["90", "90", "90"],
    }  # fmt: skip

    (surface,) = taken(a_bare_visit(a_surface(shape=shape))).surfaces

    assert surface.closing_error == mm(10)
    assert surface.closing


def test_holes_niches_and_steps_are_counted_with_the_repeats() -> None:
    def opening(identity: str, kind: str, left: str, times: int = 1) -> dict[str, Any]:
        return {
            "id": identity, "kind": kind, "left": left, "bottom": "500",
            "width": "100", "height": "100", "times": times,
        }  # fmt: skip

    document = a_bare_visit(
        a_surface(
            steps=4,
            times=2,
            openings=[
                opening("a", "valve", "100", 3),
                opening("b", "niche", "400"),
                opening("c", "door", "700"),
            ],
        )
    )

    found = taken(document)

    assert [m.quantity for m in measure(found, "cut_out")] == [6]
    assert [m.quantity for m in measure(found, "niche")] == [2]
    assert [m.quantity for m in measure(found, "step")] == [8]


def test_a_mitred_border_counts_its_corners_and_a_butted_one_none() -> None:
    def corners(how: str) -> list[Fraction]:
        border = {"id": "r", "kind": "border", "width": "100", "corners": how}
        found = taken(a_bare_visit(a_surface(regions=[border])))
        return [m.quantity for m in measure(found, "mitred_corner")]

    assert corners("mitred") == [4]
    assert corners("butted") == []


def test_tile_and_joint_go_with_the_area_they_are_set_on() -> None:
    (tile,) = measure(taken(a_hall()), "layer_area", "tile")

    assert tile.tile is not None
    assert tile.tile.joint == mm(3)
    assert tile.pattern == {"name": "stack"}
    assert tile.quantity == tile.surface_area.sq_m


def test_leveller_is_measured_in_litres() -> None:
    found = taken(a_hall())

    (volume,) = measure(found, "volume", "leveller")
    (surface,) = found.surfaces
    assert volume.unit == "l"
    assert volume.quantity > surface.level_volume > 0


def test_trim_is_measured_along_what_it_follows() -> None:
    trims = measure(taken(a_kitchen_wall()), "layer_length", "trim")

    assert len(trims) == 2
    assert all(trim.quantity > 0 for trim in trims)
