"""Which surfaces meet along which edges, each corner once."""

from __future__ import annotations

from typing import Any

import pytest

from quotes.core.errors import WrongSurface
from quotes.core.neighbours import Meeting, meetings_of
from quotes.core.surfaces import measured_outline
from quotes.core.visit_file import read_visit
from tests.builders import a_bare_visit, a_surface


def meetings(*surfaces: dict[str, Any]) -> dict[tuple[int, int], Meeting]:
    visit = read_visit(a_bare_visit(*surfaces))
    space = visit.spaces[0]
    outlines = [
        measured_outline(surface, space=space, system="metric")
        for surface in space.surfaces
    ]
    return meetings_of(space, outlines)


def a_wall(
    identity: str, width: str = "3000", height: str = "2400", **more: Any
) -> Any:
    shape = {"kind": "rectangle", "width": width, "height": height}
    return a_surface(identity, "wall", shape=shape, **more)


def pairs(
    found: dict[tuple[int, int], Meeting],
) -> set[tuple[int, int, int, int | None]]:
    return {
        (index, edge, meeting.other, meeting.other_edge)
        for (index, edge), meeting in found.items()
    }


def test_a_wall_stands_on_the_floor_side_it_is_as_long_as() -> None:
    found = meetings(a_surface(), a_wall("long"))

    assert pairs(found) == {(0, 0, 1, 0), (1, 0, 0, 0)}
    assert found[0, 0].is_first
    assert not found[1, 0].is_first


def test_a_left_edge_meets_a_right_one_of_the_same_height() -> None:
    found = meetings(
        a_wall("a", edges=["wall", "exposed", "wall", "wall"]),
        a_wall("b", width="900", edges=["wall", "wall", "wall", "exposed"]),
    )

    assert pairs(found) == {(0, 3, 1, 1), (1, 1, 0, 3)}


def test_two_left_edges_never_meet() -> None:
    only_left = ["exposed", "exposed", "exposed", "wall"]

    assert meetings(a_wall("a", edges=only_left), a_wall("b", edges=only_left)) == {}


def test_readings_more_than_an_inch_apart_are_no_corner() -> None:
    assert meetings(a_surface(), a_wall("a", width="3025.4")) != {}
    assert meetings(a_surface(), a_wall("a", width="3026")) == {}


def test_a_named_neighbour_goes_before_a_nearer_one() -> None:
    found = meetings(
        a_wall("a", edges=["exposed", {"kind": "wall", "meets": "c"}, "exposed",
                           "exposed"]),
        a_wall("b", edges=["exposed", "exposed", "exposed", "wall"]),
        a_wall("c", height="2000",
               edges=["exposed", "exposed", "exposed", "wall"]),
    )  # fmt: skip

    assert pairs(found) == {(0, 1, 2, 3), (2, 3, 0, 1)}


def test_both_sides_may_name_each_other() -> None:
    found = meetings(
        a_wall("a", edges=["exposed", {"kind": "wall", "meets": "b"}, "exposed",
                           "exposed"]),
        a_wall("b", edges=["exposed", "exposed", "exposed",
                           {"kind": "wall", "meets": "a"}]),
    )  # fmt: skip

    assert len(found) == 2


@pytest.mark.parametrize("name", ["nobody", "a"])
def test_a_neighbour_that_is_not_there_is_refused(name: str) -> None:
    with pytest.raises(WrongSurface, match="no other surface") as caught:
        meetings(
            a_wall("a", edges=["wall", {"kind": "wall", "meets": name}, "wall", "wall"])
        )

    assert caught.value.field == "edges[1].meets"


def test_the_surface_written_first_runs_past_unless_one_says_otherwise() -> None:
    def runs(first: str, second: str) -> tuple[bool, bool]:
        found = meetings(
            a_wall("a", edges=["exposed", "exposed", "exposed",
                               {"kind": "wall", "meets": "b",
                                **({"runs": first} if first else {})}]),
            a_wall("b", edges=["exposed",
                               {"kind": "wall", "meets": "a",
                                **({"runs": second} if second else {})},
                               "exposed", "exposed"]),
        )  # fmt: skip
        return found[0, 3].runs_past, found[1, 1].runs_past

    assert runs("", "") == (True, False)
    assert runs("to", "") == (False, True)
    assert runs("", "past") == (False, True)
    assert runs("past", "") == (True, False)


def test_walls_of_one_floor_meet_the_walls_of_the_next_sides() -> None:
    def standing(side: int) -> dict[str, Any]:
        shape = {"kind": "wall_of", "floor": "floor", "side": side, "height": "2400"}
        return a_surface(f"wall-{side}", "wall", shape=shape)

    found = meetings(a_surface(), *(standing(side) for side in range(4)))

    corners = {
        frozenset((index, meeting.other))
        for (index, _), meeting in found.items()
        if 0 not in (index, meeting.other)
    }
    assert corners == {frozenset(pair) for pair in ((1, 2), (2, 3), (3, 4), (1, 4))}
    assert sum(1 for meeting in found.values() if meeting.is_first) == 8


def test_a_fold_is_an_outside_corner() -> None:
    found = meetings(
        a_wall("a", edges=["exposed", {"kind": "fold", "meets": "b"}, "exposed",
                           "exposed"]),
        a_wall("b", edges=["exposed", "exposed", "exposed", "fold"]),
    )  # fmt: skip

    assert found[0, 1].outside
    assert found[1, 3].outside
