"""Membrane from whole rolls: directions, turn-ups, mixes of rolls, laps of pieces."""

from __future__ import annotations

from materials.core.plans.strips import Area, Rolls, RollSize, StripPlan, planned_strips

FIVE = RollSize(key="5", words="roll 5 m", length=5_000, price=88)
THIRTY = RollSize(key="30", words="roll 30 m", length=30_000, price=452)


def an_area(
    width: int, height: int, *, up: tuple[str, ...] = (), times: int = 1
) -> Area:  # fmt: skip
    return Area(
        place="Floor",
        left=100,
        bottom=200,
        right=100 + width,
        top=200 + height,
        turned_up=up,
        turn_up=150 if up else 0,
        times=times,
    )


def planned(areas: list[Area], sizes: list[RollSize], lap: int = 50) -> StripPlan:
    found = planned_strips(areas, Rolls(sizes=tuple(sizes), width=1_000), lap=lap)
    assert found is not None
    return found


def test_a_shower_floor_with_turn_ups_takes_one_short_roll() -> None:
    found = planned([an_area(1_312, 974, up=("left", "right", "top"))], [FIVE, THIRTY])

    assert found.rolls == {"5": 1, "30": 0}
    assert found.unrolled == 2 * (974 + 150)
    (laid,) = found.plan.surfaces
    assert laid.outline[0] == (100 - 150, 200)
    assert [piece.number for piece in laid.pieces] == [1, 2]
    assert len(laid.folds) == 3


def test_strips_lap_on_the_surface() -> None:
    (laid,) = planned([an_area(1_312, 1_200)], [FIVE]).plan.surfaces

    first, second = (piece.outline for piece in laid.pieces)
    assert first[1][0] - second[0][0] == 50
    assert second[1][0] == 100 + 1_312


def test_the_direction_that_takes_less_roll_is_taken() -> None:
    """2.40 by 3.00: three strips of 3.00 along it, four of 2.40 across (9.0, 9.6)."""
    found = planned([an_area(2_400, 3_000)], [THIRTY])

    assert found.unrolled == 9_000
    assert [s.pieces[0].height for s in found.plan.cut.sheets] == [3_000]


def test_a_mix_of_rolls_is_bought_where_it_is_cheaper() -> None:
    found = planned([an_area(990, 32_000)], [FIVE, THIRTY])

    assert found.rolls == {"5": 1, "30": 1}
    assert found.plan.verdict.startswith("2 rolls, the cheapest mix found")


def test_a_strip_longer_than_the_roll_is_pieced_with_a_lap() -> None:
    found = planned([an_area(900, 7_000)], [FIVE])

    lengths = sorted(
        piece.height for sheet in found.plan.cut.sheets for piece in sheet.pieces
    )
    assert lengths == [2_050, 5_000]
    assert found.plan.verdict == "2 rolls; 1 cannot be enough."
    (laid,) = found.plan.surfaces
    assert laid.pieces[1].outline[2][1] == 200 + 7_000


def test_repeats_have_strips_of_their_own() -> None:
    found = planned([an_area(900, 2_000, times=3)], [FIVE])

    assert len(found.plan.surfaces) == 3
    assert found.rolls == {"5": 2}


def test_nothing_to_cover_no_roll_and_very_many_strips_have_no_plan() -> None:
    five, none = (Rolls(sizes=sizes, width=1_000) for sizes in ((FIVE,), ()))
    many = [an_area(900, 900, times=201)]
    assert planned_strips([], five, lap=50) is None
    assert planned_strips([an_area(1, 1)], none, lap=50) is None
    assert planned_strips(many, five, lap=50) is None
