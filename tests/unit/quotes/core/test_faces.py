"""Sizes move from the face that was measured to the face each layer needs."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.core.lengths import MM, Length
from materials.core.need import MaterialFacts
from materials.core.outlines import doubled_area, rectangle
from materials.core.working import bounds_of
from quotes.core.errors import WrongSurface
from quotes.core.faces import Moved, finished_face, framing_face, layer_face, moved_ring
from quotes.core.standing import placed_surfaces
from quotes.core.visit_file import read_visit
from tests.builders import a_bare_visit, a_surface

mm = Length.mm

BOARD = {"role": "board", "material": "B"}
TILE = {"role": "tile", "material": "T"}
CATALOGUE = {
    "B": MaterialFacts(code="B", name="Board", kind="backer_board",
                       facts={"thickness": mm(12)}),
    "T": MaterialFacts(code="T", name="Tile", kind="tile", facts={"thickness": mm(8)}),
}  # fmt: skip
STAGE = {"board": 2, "waterproofing": 3, "bed": 4, "tile": 5}


def a_wall(identity: str, width: int, edges: list[Any], **more: Any) -> dict[str, Any]:
    shape = {"kind": "rectangle", "width": str(width), "height": "2400"}
    return a_surface(
        identity, "wall", shape=shape, edges=edges, build_up="wall", **more
    )


def a_corner(*, runs: str = "", **more: Any) -> dict[str, Any]:
    """Return two walls that meet: the first one's left edge, the second one's right."""
    meets: dict[str, Any] = {"kind": "wall", "meets": "b"}
    if runs:
        meets["runs"] = runs
    return a_bare_visit(
        a_wall("a", 1000, ["exposed", "exposed", "exposed", meets], **more),
        a_wall("b", 600, ["exposed", {"kind": "wall", "meets": "a"}, "exposed",
                          "exposed"]),
        build_ups={"wall": {"name": "Wall", "layers": [BOARD, TILE]}},
    )  # fmt: skip


def width(moved: Moved) -> int:
    return bounds_of(moved.ring)[0].ticks // MM


def walls(document: dict[str, Any]) -> Any:
    return [one.standing for one in placed_surfaces(read_visit(document), CATALOGUE)]


def test_the_board_of_the_first_wall_runs_past_and_the_second_stops_at_it() -> None:
    a, b = walls(a_corner())

    assert width(layer_face(a, STAGE["board"])) == 1000
    assert width(layer_face(b, STAGE["board"])) == 600 - 12


def test_a_wall_that_runs_to_the_other_is_the_shorter_one() -> None:
    a, b = walls(a_corner(runs="to"))

    assert width(layer_face(a, STAGE["board"])) == 1000 - 12
    assert width(layer_face(b, STAGE["board"])) == 600


def test_the_membrane_lies_between_the_boards_of_both_walls() -> None:
    a, b = walls(a_corner())

    assert width(layer_face(a, STAGE["waterproofing"])) == 1000 - 12
    assert width(layer_face(b, STAGE["waterproofing"])) == 600 - 12


def test_the_tile_that_is_set_first_runs_past_the_other() -> None:
    a, b = walls(a_corner())

    assert width(layer_face(a, STAGE["tile"])) == 1000 - 12
    assert width(layer_face(b, STAGE["tile"])) == 600 - 12 - 8


def test_the_finished_face_stands_inside_both_tiles() -> None:
    a, b = walls(a_corner())

    assert width(finished_face(a)) == 1000 - 20
    assert width(finished_face(b)) == 600 - 20


@pytest.mark.parametrize(
    ("measured_to", "framing", "board", "tile", "finished"),
    [
        ("framing", 1000, 1000, 988, 980),
        ("old_finish", 1000, 1000, 988, 980),
        ("board", 1012, 1012, 1000, 992),
        ("finished", 1020, 1020, 1008, 1000),
    ],
)
def test_the_face_that_was_measured_moves_every_other(
    measured_to: str, framing: int, board: int, tile: int, finished: int
) -> None:
    a, _ = walls(a_corner(measured_to=measured_to))

    assert width(framing_face(a)) == framing
    assert width(layer_face(a, STAGE["board"])) == board
    assert width(layer_face(a, STAGE["tile"])) == tile
    assert width(finished_face(a)) == finished


def test_the_move_is_shown_with_the_neighbour_it_comes_from() -> None:
    a, _ = walls(a_corner())

    (step,) = finished_face(a).steps

    assert step.label == "Side 4 of a, at b"
    assert step.result.endswith("in")


def test_at_an_outside_corner_the_wall_that_runs_past_grows() -> None:
    document = a_bare_visit(
        a_wall("a", 1000, ["exposed", "exposed", "exposed",
                           {"kind": "fold", "meets": "b"}]),
        a_wall("b", 600, ["exposed", {"kind": "fold", "meets": "a"}, "exposed",
                          "exposed"]),
        build_ups={"wall": {"name": "Wall", "layers": [BOARD, TILE]}},
    )  # fmt: skip
    a, b = walls(document)

    assert width(layer_face(a, STAGE["board"])) == 1012
    assert width(layer_face(b, STAGE["board"])) == 600
    assert width(layer_face(a, STAGE["tile"])) == 1020
    assert width(layer_face(b, STAGE["tile"])) == 612
    assert width(finished_face(a)) == 1020


def test_an_opening_is_narrowed_by_its_lining() -> None:
    window = {
        "id": "w", "kind": "window", "left": "200", "bottom": "500", "width": "400",
        "height": "300", "lining": "wall",
    }  # fmt: skip
    a, _ = walls(a_corner(openings=[window]))

    (hole,) = finished_face(a).holes
    (framed,) = framing_face(a).holes

    assert bounds_of(hole) == (mm(360), mm(260))
    assert bounds_of(framed) == (mm(400), mm(300))


def test_a_lining_that_fills_its_opening_is_refused() -> None:
    window = {
        "id": "w", "kind": "window", "left": "200", "bottom": "500", "width": "40",
        "height": "300", "lining": "wall",
    }  # fmt: skip
    a, _ = walls(a_corner(openings=[window]))

    with pytest.raises(WrongSurface, match="fills the window"):
        finished_face(a)


def test_build_ups_that_leave_nothing_are_refused() -> None:
    document = a_corner()
    document["spaces"][0]["surfaces"][1]["shape"]["width"] = "15"
    _, b = walls(document)

    with pytest.raises(WrongSurface, match="leave nothing"):
        finished_face(b)


SQUARE = rectangle(0, 0, 100, 60)


def test_each_side_moves_by_its_own_distance() -> None:
    assert moved_ring(SQUARE, [1, 2, 3, 4]) == ((4, 1), (98, 1), (98, 57), (4, 57))


def test_no_move_leaves_the_ring_as_it_is() -> None:
    assert moved_ring(SQUARE, [0, 0, 0, 0]) is SQUARE


def test_straight_on_sides_with_different_moves_make_a_step() -> None:
    ring = ((0, 0), (50, 0), (100, 0), (100, 60), (0, 60))

    moved = moved_ring(ring, [0, 10, 0, 0, 0])

    assert moved == ((0, 0), (50, 0), (50, 10), (100, 10), (100, 60), (0, 60))


def test_a_slanting_side_moves_square_to_itself() -> None:
    ring = ((0, 0), (300, 400), (0, 400))

    moved = moved_ring(ring, [25, 0, 0])

    assert moved[0] == (0, 42)
    assert moved[1] == (269, 400)


@given(st.tuples(*[st.integers(-20, 20)] * 4))
def test_moving_in_and_out_again_gives_the_same_rectangle(
    insets: tuple[int, int, int, int],
) -> None:
    moved = moved_ring(SQUARE, insets)

    assert moved_ring(moved, [-inset for inset in insets]) == SQUARE
    bottom, right, top, left = insets
    assert doubled_area(moved) == 2 * (100 - left - right) * (60 - bottom - top)
