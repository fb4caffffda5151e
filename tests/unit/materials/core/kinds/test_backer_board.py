"""Boards: panels split from each surface, cut together, between two bounds."""

from __future__ import annotations

from fractions import Fraction

from materials.core.kinds.backer_board import need, panels_of
from materials.core.lengths import Length
from materials.core.need import Extent, MaterialFacts
from materials.core.outlines import Piece, rectangle

inch = Length.inch


def a_board(width: str = "36", length: str = "60") -> MaterialFacts:
    facts = {"width": inch(width), "length": inch(length), "thickness": inch("1/2")}
    return MaterialFacts(code="B", name="Board", kind="backer_board", facts=facts)


def a_wall(
    width: str, height: str, *, hole: tuple[str, str, str, str] | None = None,
    times: int = 1,
) -> Extent:  # fmt: skip
    outline = rectangle(0, 0, inch(width).ticks, inch(height).ticks)
    holes = ()
    if hole is not None:
        left, bottom, right, top = (inch(value).ticks for value in hole)
        holes = (tuple(reversed(rectangle(left, bottom, right, top))),)
    return Extent(
        place="Wall",
        role="wall",
        outline=outline,
        holes=holes,
        area=Piece(outline=outline, holes=holes).area,
        times=times,
    )


def test_a_wall_of_one_sheet_takes_one_sheet() -> None:
    found = need(a_board(), [a_wall("36", "60")], {})

    assert found.quantity == 1
    assert found.bound == ""


def test_panels_lie_the_way_that_gives_fewer() -> None:
    upright = panels_of(a_wall("72", "60"), inch(36), inch(60))
    lying = panels_of(a_wall("60", "72"), inch(36), inch(60))

    assert [(p.width, p.height) for p in upright] == [(inch(36), inch(60))] * 2
    assert [(p.width, p.height) for p in lying] == [(inch(60), inch(36))] * 2


def test_offcuts_of_all_surfaces_are_cut_together() -> None:
    halves = [a_wall("18", "60"), a_wall("18", "60")]

    assert need(a_board(), halves, {}).quantity == 1


def test_repeats_are_cut_together_too() -> None:
    assert need(a_board(), [a_wall("18", "60", times=4)], {}).quantity == 2


def test_a_panel_that_lies_in_an_opening_is_not_cut() -> None:
    plain = panels_of(a_wall("108", "60"), inch(36), inch(60))
    opened = panels_of(
        a_wall("108", "60", hole=("36", "0", "72", "60")), inch(36), inch(60)
    )

    assert len(plain) == 3
    assert len(opened) == 2


def test_both_bounds_stand_in_the_working() -> None:
    found = need(a_board(), [a_wall("54", "60")], {"system": "imperial"})

    results = {step.label: step.result for step in found.working}
    assert results["At least"] == "2 sheets"
    assert results["At most"] == "2 sheets"
    assert found.quantity == 2


def test_the_loss_is_what_is_bought_and_not_on_the_wall() -> None:
    found = need(a_board(), [a_wall("18", "60")], {})

    assert found.loss == Fraction(1, 2)


def test_very_many_panels_are_bought_by_the_bound_and_say_so() -> None:
    found = need(a_board(), [a_wall("20", "50", times=301)], {})

    assert found.quantity == 301
    assert "one for every panel" in found.bound


def test_seams_are_chosen_so_that_offcuts_are_used() -> None:
    """Three walls of a shower: from the lower left every panel takes a sheet."""
    walls = [a_wall("56 1/4", "91 1/2"), a_wall("36 7/8", "91 1/2", times=2)]

    found = need(a_board(), walls, {"system": "imperial"})

    results = {step.label: step.result for step in found.working}
    assert results["At most"] == "9 sheets"
    assert 6 <= found.quantity < 9
    assert "Seams" in results


def test_a_small_opening_stays_in_its_board() -> None:
    niche = a_wall("56", "90", hole=("20", "44", "34", "56"))

    found = need(a_board(), [niche], {})

    assert found.quantity <= len(panels_of(niche, inch(36), inch(60)))


def test_repeats_beyond_many_are_still_planned_from_the_corner() -> None:
    found = need(a_board(), [a_wall("18", "60", times=60)], {})

    assert found.quantity == 30
    assert found.bound == ""
