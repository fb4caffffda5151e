from __future__ import annotations

from fractions import Fraction

import pytest

from materials.core.cutting.pan_floor import (
    border_name,
    corner_number,
    drain_frame,
    fall_text,
    floor_of,
    is_full_width,
    parted_reason,
    shared_edges,
    side_number,
)
from materials.core.cutting.pan_outlines import cross, sides
from materials.core.cutting.pan_point import walls
from materials.core.cutting.pan_records import Recess
from materials.core.errors import Refusal
from tests.pan_cases import (
    a_drain,
    a_mortar,
    a_point,
    a_recess,
    box,
    fitted,
    outline,
    ticks,
)


def test_the_floor_is_the_recess_less_its_flats() -> None:
    floor = floor_of(a_recess(flats=(box(0, 24, 38, 40),)))

    assert floor.area == ticks(38) * ticks(24)
    assert len(shared_edges(floor, floor.flats[0])) == 1
    assert parted_reason(floor) is None


@pytest.mark.parametrize(
    ("recess", "field", "word"),
    [
        (a_recess(outline=outline((0, 0), (4, 0))), "recess", "three corners"),
        (a_recess(drain=a_drain(4, 0, 5)), "drain.side", "sides 0 to 3"),
        (a_recess(drain=a_drain(0, 30, 9)), "drain.length", "shorten or move"),
        (a_recess(drain=a_drain(0, 3, 0)), "drain.length", "above zero"),
        (a_recess(drain=a_point(50, 5)), "drain.at", "inside the recess"),
        (a_recess(drain=a_point(0, 5)), "drain.at", "inside the recess"),
        (a_recess(flats=(box(0, 0, 38, 35),)), "flat", "nothing to slope"),
        (a_recess(flats=(box(0, 0, 9, 9),)), "flat", "covers the drain"),
        (a_recess(flats=(box(50, 0, 59, 9),)), "flat[0]", "outside the recess"),
        (
            a_recess(flats=(box(0, 20, 9, 35), box(5, 30, 38, 35))),
            "flat[1]",
            "overlaps flat area 0",
        ),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_a_recess_that_is_none_is_refused_by_field(
    recess: Recess, field: str, word: str
) -> None:
    with pytest.raises(Refusal, match=word) as caught:
        floor_of(recess)

    assert caught.value.field == field


def test_a_point_drain_under_a_flat_area_is_refused() -> None:
    with pytest.raises(Refusal, match="covers the drain"):
        floor_of(a_recess(drain=a_point(19, 30), flats=(box(0, 24, 38, 35),)))


def test_a_drain_is_as_wide_as_its_side_or_not() -> None:
    assert is_full_width(floor_of(a_recess()))
    assert not is_full_width(floor_of(a_recess(drain=a_drain(0, 0, "37 15/16"))))
    assert not is_full_width(floor_of(a_recess(drain=a_drain(0, "1/16", "37 15/16"))))
    assert not is_full_width(floor_of(a_recess(drain=a_point(19, 17))))


def test_out_of_square_a_typed_length_within_a_millimetre_is_the_side() -> None:
    skew = outline((0, 0), (40, 1), (40, 31), (0, 30))

    floor = floor_of(a_recess(outline=skew, drain=a_drain(0, 0, "40 1/64")))

    assert is_full_width(floor)
    assert floor.drain_points[1] == skew[1]
    with pytest.raises(Refusal, match="shorten or move"):
        floor_of(a_recess(outline=skew, drain=a_drain(0, 0, "40 1/8")))


def test_the_drain_s_frame_looks_into_the_recess_either_way_round() -> None:
    forward = drain_frame(floor_of(a_recess()))
    backward = drain_frame(
        floor_of(a_recess(outline=box(0, 0, 38, 35)[::-1], drain=a_drain(2, 0, 38)))
    )

    assert forward.turn == backward.turn == 0
    assert forward.origin == backward.origin


def test_a_fall_is_worded_in_per_cent_and_as_a_ratio() -> None:
    assert fall_text(Fraction(1, 48)) == "2.08 % (1 in 48)"
    assert fall_text(Fraction(5, 156)) == "3.21 % (1 in 31.2)"
    assert fall_text(Fraction(0)) == "0.00 %"


def test_a_corner_is_numbered_as_the_outline_gives_it() -> None:
    floor = floor_of(a_recess())

    assert corner_number(floor, (ticks(38), ticks(35))) == 2
    assert corner_number(floor, (1, 1)) is None


@pytest.mark.parametrize("corners", [1, -1], ids=["counter-clockwise", "clockwise"])
def test_a_wall_has_the_number_of_the_side_as_the_outline_was_given(
    corners: int,
) -> None:
    shape = box(0, 0, 38, 35)[::corners]
    flat = box(28, 0, 38, 8)
    recess = a_recess(outline=shape, drain=a_point(17, 19), flats=(flat,))
    floor = floor_of(recess)

    numbers = {side_number(floor, border) for border in walls(floor)}
    names = [border_name(floor, border) for border in walls(floor)]
    way = fitted(recess, mortar=a_mortar()).ways[0]

    assert numbers == {0, 1, 2, 3, None}
    assert sorted(set(names)) == ["edge of flat 0", *(f"wall {i}" for i in range(4))]
    for run in way.runs:
        if run.index is not None:
            a, b = sides(shape)[run.index]
            assert cross(a, b, run.at) == 0
