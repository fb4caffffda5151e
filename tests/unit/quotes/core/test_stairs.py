"""Stairs: equal where there is room, as equal as can be elsewhere."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.core.errors import OutOfRange
from materials.core.lengths import Length
from quotes.core.stairs import LIMIT, Flight, Stairs, set_out_stairs, taut
from tests.cases import some_cases

mm = Length.mm


def stairs(*rises: int, bottom: int = 15, landing: int = 15, **more: object) -> Stairs:
    given_: dict[str, object] = {
        "tile": mm(10), "bed": mm(5), "riser": mm(14), "going": mm(280), **more,
    }  # fmt: skip
    return set_out_stairs(
        Flight(
            risers=tuple(map(mm, rises)), bottom=mm(bottom), landing=mm(landing),
            **given_,  # type: ignore[arg-type]
        )
    )  # fmt: skip


def test_the_same_on_every_level_leaves_equal_risers_equal() -> None:
    found = stairs(180, 180, 180)

    assert (found.difference, found.plain_difference) == (mm(0), mm(0))
    assert [step.bed for step in found.steps] == [mm(5), mm(5), None]


def test_a_landing_that_keeps_its_floor_is_made_up_for_in_the_beds() -> None:
    """Rises of 180, 15 mm on floor and treads, none on the landing: 525 ÷ 3 = 175.

    The treads would have to lie at 190 and 365, but clear 195 and 375 at least: the
    line over 375 gives 180, 180 and 165, and no bed can better that.
    """
    found = stairs(180, 180, 180, landing=0)

    assert [step.finished for step in found.steps] == [mm(180), mm(180), mm(165)]
    assert found.difference == found.plain_difference == mm(15)
    assert not found.is_even


def test_a_thick_floor_is_met_by_thicker_beds_upwards() -> None:
    """Bottom 0, landing 45: from 0 to 585 in three of 195, beds of 5 and 20 mm."""
    found = stairs(180, 180, 180, bottom=0, landing=45)

    assert [step.finished for step in found.steps] == [mm(195)] * 3
    assert [step.bed for step in found.steps] == [mm(5), mm(20), None]
    assert found.plain_difference == mm(30)
    assert found.is_even


def test_tread_first_and_riser_first_cut_other_pieces() -> None:
    first = stairs(180, 180, 180, nosing=mm(6)).steps[0]
    last = stairs(180, 180, 180, nosing=mm(6)).steps[2]
    behind = stairs(180, 180, 180, nosing=mm(6), tread_first=False).steps[0]

    assert (first.riser_piece, first.tread_piece) == (mm(170), mm(300))
    assert (last.riser_piece, last.tread_piece) == (mm(170), None)
    assert behind.tread_piece == mm(286)


@pytest.mark.parametrize(
    ("rises", "field"),
    [
        ((180,), "risers"),
        ((180, 0), "risers"),
        ((180,) * 41, "risers"),
        ((180, 8), "risers"),
    ],
)
def test_a_flight_that_is_none_is_refused(rises: tuple[int, ...], field: str) -> None:
    with pytest.raises(OutOfRange) as caught:
        stairs(*rises)

    assert caught.value.field == field


@some_cases
@given(st.lists(st.integers(0, 400), min_size=2, max_size=12))
def test_no_other_levels_have_a_lower_highest_or_higher_lowest_riser(
    least: list[int],
) -> None:
    """Any level line over the least ones rises at least so steeply from its foot to
    every high tread, and at most so to the landing: the taut one meets both bounds."""
    last = len(least) - 1
    levels = taut([level * 1000 for level in least])

    assert (levels[0], levels[-1]) == (least[0] * 1000, least[-1] * 1000)
    assert all(got >= want * 1000 for got, want in zip(levels, least, strict=True))
    risers = [high - low for low, high in pairwise(levels)]
    steepest = max(
        Fraction((least[at] - least[0]) * 1000, at) for at in range(1, last + 1)
    )
    flattest = min(
        Fraction((least[-1] - least[at]) * 1000, last - at) for at in range(last)
    )
    assert abs(max(risers) - steepest) <= 1
    assert abs(min(risers) - flattest) <= 1


def test_the_usual_limit_is_three_eighths_of_an_inch() -> None:
    assert Length.parse("3/8", system="imperial") == LIMIT
