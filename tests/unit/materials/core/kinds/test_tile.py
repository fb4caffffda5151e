"""Tile by its bounds, and by a set-out's count where there is one."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.core.errors import OutOfRange
from materials.core.kinds.tile import (
    KIND,
    Counted,
    facts_of,
    guessed_tiles,
    longest_side,
    mass_of,
    need,
    pieces_of,
)
from materials.core.lengths import Length
from materials.core.need import Extent, MaterialFacts, Step
from materials.core.outlines import rectangle, ring_area
from materials.core.quantities import whole_units

mm = Length.mm


def a_tile(**facts: object) -> MaterialFacts:
    given_facts: dict[str, object] = {
        "length": mm(297),
        "width": mm(197),
        "thickness": mm(8),
        "joint": mm(3),
        **facts,
    }
    return MaterialFacts(code="T", name="Tile", kind="tile", facts=given_facts)


def a_wall(width: int, height: int, *, times: int = 1) -> Extent:
    outline = rectangle(0, 0, mm(width).ticks, mm(height).ticks)
    return Extent(
        place="Wall",
        role="wall",
        outline=outline,
        area=ring_area(outline),
        times=times,
    )


def test_the_first_guess_of_a_rectangle_is_its_fields_and_a_row_each_way() -> None:
    guess = guessed_tiles(a_wall(3000, 2000), facts_of(a_tile(), {}))

    assert guess == Fraction((3000 + 300) * (2000 + 200), 300 * 200)


@given(st.integers(200, 9000), st.integers(200, 9000))
def test_the_need_is_never_below_the_area(width: int, height: int) -> None:
    found = need(a_tile(), [a_wall(width, height)], {})

    assert found.quantity * 300 * 200 >= width * height
    assert found.quantity.denominator == 1


def test_both_bounds_are_said_and_the_guess_is_called_one() -> None:
    found = need(a_tile(), [a_wall(3000, 2000)], {})

    assert found.quantity == 121
    assert "121 is a first guess" in found.bound
    assert "at least 100" in found.bound


def test_a_set_out_s_count_replaces_the_guess_and_brings_its_plan() -> None:
    counted = Counted(tiles=104, steps=(Step(label="Set-out"),), plan="plan")

    found = need(a_tile(), [a_wall(3000, 2000)], {"counted": counted})

    assert (found.quantity, found.bound, found.plan) == (104, "", ("plan",))
    assert [step.label for step in found.working][-1] == "Set-out"


def test_breakage_is_added_to_a_guess_and_spares_to_both() -> None:
    """A set-out is ordered with its breakage, so a share is not added again."""
    tile, wall = a_tile(loss=Fraction(3, 100)), a_wall(3000, 2000)
    guess = need(a_tile(), [wall], {}).quantity

    counted = need(tile, [wall], {"counted": Counted(tiles=104), "pieces": 6})
    guessed = need(tile, [wall], {"pieces": 6})

    assert counted.quantity == 104 + 6
    assert (
        guessed.quantity
        == guess + whole_units(guess * Fraction(3, 100), Fraction(1)) + 6
    )


def test_repeats_multiply_the_guess() -> None:
    assert need(a_tile(), [a_wall(3000, 2000, times=12)], {}).quantity == 12 * 121


def test_the_layer_s_joint_goes_before_the_sheet_s() -> None:
    assert facts_of(a_tile(), {"joint": mm(5)}).joint == mm(5)
    assert facts_of(a_tile(), {}).joint == mm(3)


def test_the_mass_follows_the_sheet_or_is_nothing() -> None:
    area = a_wall(2000, 1000).area.ticks2

    assert mass_of(a_tile(mass=Fraction(18)), area) == 36
    assert mass_of(a_tile(), area) == 0


def test_the_longest_side_is_the_longer_one() -> None:
    assert longest_side(facts_of(a_tile(), {})) == mm(297)


BOX = {"length": mm(597), "width": mm(297), "joint": mm(3)}


@pytest.mark.parametrize(
    ("area", "counts", "pieces"),
    [
        ("1.08", "with joints", 6),
        ("1.0639", "without joints", 6),
        ("1.06", "", 6),
        ("1.44", "with joints", 8),
    ],
)
def test_a_box_by_its_area_holds_whole_tiles(
    area: str, counts: str, pieces: int
) -> None:
    assert pieces_of(Fraction(area), {**BOX, "box_area": counts}) == pieces


def test_a_box_area_that_is_no_whole_tile_is_refused() -> None:
    with pytest.raises(OutOfRange, match="counts joints"):
        pieces_of(Fraction("1.17"), BOX)


def test_a_pack_of_tile_is_typed_in_tiles_or_by_its_area() -> None:
    facts = {**BOX, "box_area": "with joints"}

    assert KIND.content_of("6", facts) == 6
    assert KIND.content_of("1.08 m2", facts) == 6
    assert KIND.content_of("11 5/8 sq ft", facts) == 6
