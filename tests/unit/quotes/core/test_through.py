"""Rows that run through walls and floor: one line, the best of all their edges."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from materials.core.lengths import MM, Length
from materials.core.pricelist import catalogue_on
from quotes.core.layout.orders import ASSUMED
from quotes.core.takeoff import take_off
from quotes.core.through import Through, set_out_through
from quotes.core.visit_file import read_visit
from tests.builders import a_bare_visit, a_surface
from tests.unit.quotes.core.test_tile_counts import TILE

SQUARE = {**TILE, "facts": {**TILE["facts"], "length": "297", "width": "297"}}  # type: ignore[dict-item]


def rectangle(identity: str, role: str, wide: int, high: int, **more: Any) -> Any:
    shape = {"kind": "rectangle", "width": str(wide), "height": str(high)}
    more.setdefault("edges", ["wall"] * 4)
    return a_surface(
        identity, role=role, shape=shape, build_up="f", measured_to="finished", **more
    )


def together(
    *surfaces: Any, pattern: dict[str, Any] | None = None, system: str = "metric"
) -> Any:
    """Return what runs through in a room, and the goods it is laid with."""
    layer: dict[str, Any] = {"role": "tile", "material": "T"}
    if pattern:
        layer["pattern"] = pattern
    visit = read_visit(
        a_bare_visit(
            *surfaces,
            build_ups={"f": {"name": "F", "layers": [layer]}},
            price_list={"materials": [SQUARE]},
        )
    )
    assert visit.price_list is not None
    catalogue = catalogue_on(visit.price_list, date(2026, 4, 1))
    parts = [part for part in take_off(visit, catalogue).layers if part.role == "tile"]
    found = set_out_through(
        parts, visit.spaces[0], catalogue, system=system, ordering=ASSUMED
    )
    return found, catalogue["T"]


def lines(one: Through) -> dict[str, tuple[int, int]]:
    return {part.part.surface_id: (part.across, part.up) for part in one.parts}


def test_three_walls_share_their_courses_and_keep_their_own_joints() -> None:
    niche = [{"id": "n", "kind": "niche", "left": "300", "bottom": "1000",
              "width": "300", "height": "400"}]  # fmt: skip
    (one,), _tile = together(
        rectangle("l", "wall", 900, 2100),
        rectangle("b", "wall", 1400, 2100, openings=niche),
        rectangle("r", "wall", 950, 2100),
    )

    heights = {up for _across, up in lines(one).values()}
    assert len(heights) == 1
    assert one.narrowest >= one.narrowest_now
    assert one.narrowest == min(part.narrowest for part in one.parts)
    assert not one.joins_floor


def test_the_shared_course_is_the_best_of_all_for_every_wall_s_edges() -> None:
    """2,100 and a niche from 1,000 to 1,400, seen in a tenth of a millimetre."""
    niche = [{"id": "n", "kind": "niche", "left": "300", "bottom": "1000",
              "width": "297", "height": "400"}]  # fmt: skip
    (one,), _tile = together(
        rectangle("l", "wall", 897, 2100),
        rectangle("b", "wall", 897, 2100, openings=niche),
    )
    tile, module = 2970, 3000

    def cut(line: int) -> int:
        found = []
        for at, begins in ((0, 1), (21000, 0), (10000, 0), (14000, 1)):
            within = (at - line) % module
            whole = within <= 2 or within >= tile - 2
            found.append(tile if whole else tile - within if begins else within)
        return min(found)

    up = next(iter(lines(one).values()))[1] // (MM // 10)
    assert cut(up) == max(cut(line) for line in range(module))


def floor_and_wall(side: int) -> dict[str, tuple[int, int]]:
    """Return chalk lines of a floor 1,000 by 1,600 and a wall on one of its sides."""
    meets = [{"kind": "wall"} for _ in range(4)]
    meets[side] = {"kind": "wall", "meets": "w"}
    wide = 1000 if side % 2 == 0 else 1600
    (one,), _tile = together(
        rectangle("f", "floor", 1000, 1600, edges=meets),
        rectangle("w", "wall", wide, 2100),
    )
    assert one.joins_floor
    return lines(one)


def test_a_wall_over_the_far_side_continues_the_joints_of_the_floor() -> None:
    found = floor_and_wall(2)

    assert found["w"][0] == found["f"][0]


def test_a_wall_over_the_near_side_continues_them_the_other_way_round() -> None:
    """A tile that begins at a on the floor ends at 1,000 − a on the wall."""
    found = floor_and_wall(0)

    ends = 1000 * MM - found["f"][0]
    assert (found["w"][0] + 297 * MM - ends) % (300 * MM) == 0


def test_walls_on_the_sides_of_a_floor_take_its_other_direction() -> None:
    right, left = floor_and_wall(1), floor_and_wall(3)

    assert (right["w"][0] + 297 * MM - (1600 * MM - right["f"][1])) % (300 * MM) == 0
    assert left["w"][0] == left["f"][1]


def test_what_does_not_run_in_straight_rows_is_left_alone() -> None:
    walls = rectangle("l", "wall", 900, 2100), rectangle("b", "wall", 900, 2100)

    assert together(*walls, pattern={"name": "herringbone"})[0] == ()
    assert together(*walls, pattern={"name": "stack", "angle": "45"})[0] == ()
    assert together(walls[0])[0] == ()
    floors = rectangle("f", "floor", 900, 900), rectangle("g", "floor", 900, 900)
    assert together(*floors)[0] == ()


@pytest.mark.parametrize("system", ["metric", "imperial"])
def test_the_chalk_lines_given_back_make_the_same_set_out(system: str) -> None:
    """As the page stores them: printed in the business's system."""
    walls = [("l", 900), ("b", 1400)]
    (one,), _tile = together(
        *(rectangle(n, "wall", w, 2100) for n, w in walls), system=system
    )
    chalk = {
        identity: [Length(x).text(system), Length(y).text(system)]
        for identity, (x, y) in lines(one).items()
    }
    again, _tile = together(
        *(
            rectangle(n, "wall", w, 2100, pattern={"name": "stack", "origin": chalk[n]})
            for n, w in walls
        ),
        system=system,
    )

    assert again[0].stands
    assert lines(again[0]) == lines(one)
    assert again[0].narrowest_now == one.narrowest
