"""Tiles counted as exercises, examinations and the trade printed them."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from materials.core.lengths import Length
from materials.core.quantities import parse_number, whole_units
from quotes.core.layout.counting import count
from quotes.core.layout.records import Rules, SetOut, Surface, box, rectangle
from quotes.core.layout.reuse import CutPlan, cut_plan
from quotes.core.layout.setout import symmetrical
from quotes.core.layout.task import Task
from quotes.core.pattern import Lattice, made
from quotes.core.patterns import pattern_named
from tests.published.source_files import load

COUNTS = [
    load(name)
    for name in (
        "layout_floor_in_squares",
        "layout_floor_that_fits",
        "layout_halves_reused",
        "layout_two_rooms_and_boxes",
        "layout_border_of_a_bath",
        "layout_path_round_a_lawn",
        "layout_courtyard_by_area",
    )
]
SINAPI = load("layout_sinapi_tile")
WORK_SIZE = load("tile_work_size")
ENDS = load("layout_balanced_ends")
HALF_TILE = load("layout_half_tile_rule")

CASES = [(file["source"]["unit_in"], case) for file in COUNTS for case in file["case"]]
DEVIATIONS = [
    (file["source"]["unit_in"], row)
    for file in COUNTS
    for row in file.get("deviation", [])
]


def ticks(text: str, unit: str) -> int:
    return (Length.inch(text) if unit == "in" else Length.mm(text)).ticks


def stack(length: int, width: int) -> Lattice:
    return made(pattern_named("stack"), {"length": length, "width": width}, 0, {})


def planned(case: dict[str, Any], unit: str) -> CutPlan:
    """Return the plan of the rooms of a case, from their lower left corners."""
    length, width = (ticks(side, unit) for side in case["tile"].split(" x "))
    rules = Rules()
    tallies = [
        count(surface, stack(length, width), SetOut(), rules)
        for surface in surfaces(case, unit)
    ]
    return cut_plan(tallies, rules)


def surfaces(case: dict[str, Any], unit: str) -> list[Surface]:
    holes = ()
    if "hole" in case:
        x, y, wide, high = (ticks(part, unit) for part in case["hole"].split())
        holes = (box(x, y, wide, high),)
    return [
        rectangle(*(ticks(side, unit) for side in room.split(" x ")), holes=holes)
        for room in case["rooms"]
    ]


@pytest.mark.parametrize(("unit", "case"), CASES, ids=[c["id"] for _, c in CASES])
def test_the_tiles_are_those_printed(unit: str, case: dict[str, Any]) -> None:
    plan = planned(case, unit)
    tiles = getattr(plan, case["figure"]) + int(case.get("extra", "0"))

    assert tiles == int(case["tiles"])
    if "boxes" in case:
        boxes = whole_units(Fraction(tiles), Fraction(case["per_box"]))
        assert boxes == int(case["boxes"])


@pytest.mark.parametrize(
    ("unit", "row"), DEVIATIONS, ids=[row["id"] for _, row in DEVIATIONS]
)
def test_where_the_answer_depends_on_how_the_tile_lies(
    unit: str, row: dict[str, Any]
) -> None:
    plan = planned(row, unit)

    assert (plan.full, plan.cut) == (int(row["full"]), int(row["cut"]))
    assert plan.no_reuse == int(row["no_reuse"])


def end_cut(long: str, tile: str) -> int | None:
    """Return the smallest cut of a single course, set out symmetrically, in ticks."""
    side = ticks(tile, "in")
    task = Task(
        surfaces=(rectangle(ticks(long, "in"), side),),
        lattice=stack(side, side),
        rules=Rules(),
    )
    (tally,) = symmetrical(task)
    return tally.smallest_cut


@pytest.mark.parametrize("case", ENDS["case"], ids=lambda case: case["id"])
def test_the_ends_are_as_large_as_the_trade_says(case: dict[str, str]) -> None:
    assert end_cut(case["long"], case["tile"]) == ticks(case["end"], "in")


@pytest.mark.parametrize("case", HALF_TILE["case"], ids=lambda case: case["id"])
def test_the_ends_follow_the_half_tile_formula(case: dict[str, str]) -> None:
    long, tile = parse_number(case["long"]), parse_number(case["tile"])
    whole = long // tile
    end = (long - whole * tile + tile) / 2

    assert end_cut(case["long"], case["tile"]) == Length.inch(end).ticks


@pytest.mark.parametrize("case", WORK_SIZE["case"], ids=lambda case: case["id"])
def test_work_size_and_joint_make_the_module(case: dict[str, str]) -> None:
    length, width, joint = (ticks(case[k], "mm") for k in ("length", "width", "joint"))
    across, up = (ticks(side, "mm") for side in case["module"].split(" x "))
    pattern = pattern_named("stack")
    lattice = made(pattern, {"length": length, "width": width}, joint, {})

    floor = rectangle(7 * across - joint, 9 * up - joint)
    tally = count(floor, lattice, SetOut(), Rules())

    assert (tally.full_count, tally.cut_count) == (63, 0)


def bought_per_area(case: dict[str, Any], sizes: list[str]) -> tuple[Fraction, ...]:
    """Return the tile of rooms over their area: by area, reused, without reuse.

    Fields of tile and joint, symmetrical, joint 3 mm, blade 2 mm.
    """
    side, joint = ticks(case["side"], "mm"), ticks("3", "mm")
    pattern = pattern_named("stack")
    lattice = made(pattern, {"length": side, "width": side}, joint, {})
    rules = Rules(kerf=ticks("2", "mm"))
    rooms = [rectangle(*(ticks(s, "mm") for s in size.split(" x "))) for size in sizes]
    task = Task(
        surfaces=tuple(rooms), lattice=lattice, rules=rules,
        angle=Fraction(case["angle"]),
    )  # fmt: skip
    plans = [cut_plan([tally], rules, certify=False) for tally in symmetrical(task)]
    share = Fraction((side + joint) ** 2) / sum(room.area for room in rooms)
    return (
        sum(plan.area_bound for plan in plans) * share,
        sum(plan.strict for plan in plans) * share,
        sum(plan.no_reuse for plan in plans) * share,
    )


@pytest.mark.parametrize("case", SINAPI["case"], ids=lambda case: case["id"])
def test_the_printed_loss_lies_between_area_and_no_reuse(case: dict[str, Any]) -> None:
    """No closeness is asked for: the printed rooms are not known, see the file."""
    ours = [bought_per_area(case, rooms["sizes"]) for rooms in SINAPI["rooms"]]

    for (least, reused, most), printed in zip(ours, case["bought"], strict=True):
        assert least <= Fraction(printed) <= most
        assert least <= reused <= most
    # Smaller rooms lose more, in print as here.
    assert ours[0][2] > ours[1][2] > ours[2][2]
    assert Fraction(case["bought"][0]) > Fraction(case["bought"][2])
