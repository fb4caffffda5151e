"""Lettering and totals that every kind's working is made of."""

from __future__ import annotations

from fractions import Fraction

import pytest

from materials.core import working
from materials.core.errors import OutOfRange
from materials.core.lengths import NOTHING, Length
from materials.core.need import Extent
from materials.core.outlines import rectangle, ring_area

mm = Length.mm
FLOOR = rectangle(0, 0, mm(2000).ticks, mm(1000).ticks)


def an_extent(place: str, times: int = 1) -> Extent:
    return Extent(
        place=place,
        role="floor",
        outline=FLOOR,
        area=ring_area(FLOOR),
        inside_corners=mm(500),
        perimeter=mm(300),
        times=times,
    )


def test_totals_count_the_repeats() -> None:
    extents = [an_extent("A", 3), an_extent("B")]

    assert working.total_area(extents).sq_m == 8
    assert working.total_corners(extents) == mm(2000)
    assert working.total_perimeter(extents) == mm(1200)
    assert working.total_area([]).sq_m == 0


def test_the_layer_goes_before_the_sheet_and_the_sheet_before_the_default() -> None:
    assert working.chosen_length("joint", {"joint": mm(2)}, {"joint": mm(3)}) == mm(2)
    assert working.chosen_length("joint", {}, {"joint": mm(3)}) == mm(3)
    assert working.chosen_length("joint", {}, {}, mm(4)) == mm(4)
    assert working.chosen_number("loss", {"loss": Fraction(0)}, {"loss": 1}) == 0


def test_a_yes_is_no_number() -> None:
    assert working.number_in({"coats": True}, "coats", Fraction(2)) == 2


def test_places_stand_once_in_their_order() -> None:
    extents = [an_extent("B"), an_extent("A"), an_extent("B")]

    assert working.places_of(extents) == ("B", "A")


def test_a_rectangle_is_told_from_other_outlines() -> None:
    assert working.is_rectangle(FLOOR)
    assert not working.is_rectangle(((0, 0), (5, 0), (5, 5), (1, 4)))
    assert working.bounds_of(FLOOR) == (mm(2000), mm(1000))


def test_runs_are_lettered_in_the_home_system() -> None:
    assert working.run_text(mm(2540), "metric") == "2.54 m"
    assert working.run_text(Length.inch(18), "imperial") == "1.5 ft"


def test_a_loss_shows_its_working_and_none_shows_nothing() -> None:
    total, loss, steps = working.with_loss(Fraction(10), Fraction(1, 20), "kg")

    assert (total, loss) == (Fraction(21, 2), Fraction(1, 2))
    assert steps[0].formula == "10 kg × 5 %"
    assert working.with_loss(Fraction(10), Fraction(0), "kg")[2] == ()


def test_the_area_step_shows_each_repeat() -> None:
    step = working.area_step([an_extent("A", 3), an_extent("B")], "metric")

    assert step.formula.replace("\u00a0", " ") == "2.00 m² × 3 + 2.00 m²"


def test_a_demand_that_is_not_met_is_refused_by_its_field() -> None:
    working.demand(True, "well", field="joint")
    with pytest.raises(OutOfRange) as caught:
        working.demand(False, "The joint is missing.", field="joint")

    assert caught.value.field == "joint"
    assert mm(0) == NOTHING


def test_one_is_said_in_the_singular() -> None:
    assert working.count_text(1, "tile") == "1 tile"
    assert working.count_text(0, "tile") == "0 tiles"
