"""A flight as a surface: unrolled, from the bottom floor to the landing."""

from __future__ import annotations

from typing import Any

import pytest

from materials.core.areas import Area
from materials.core.errors import OutOfRange, Refusal
from materials.core.lengths import Length
from quotes.core.flights import (
    flight_of,
    is_flight,
    stairs_of,
    strip_ring,
    unrolled,
    unrolled_space,
)
from quotes.core.stairs import LIMIT
from quotes.core.visit import Surface
from quotes.core.visit_file import read_visit
from quotes.core.visit_writer import written_visit
from tests.builders import a_bare_visit, a_flight, a_surface

mm = Length.mm


def flight(**changes: Any) -> Surface:
    """Three rises of 180, nothing on the floor, 45 on the landing, tile 10, bed 5."""
    (surface,) = read_visit(a_bare_visit(a_flight(**changes))).spaces[0].surfaces
    return surface


def test_a_flight_is_read_as_the_stairs_page_takes_it() -> None:
    shape = flight(limit="12", laid="riser", nosing="6").shape

    assert is_flight(flight())
    found = flight_of(shape)
    assert found.risers == (mm(180),) * 3
    assert (found.bottom, found.landing, found.nosing) == (mm(0), mm(45), mm(6))
    assert (found.limit, found.tread_first) == (mm(12), False)
    assert flight_of(flight().shape).limit == LIMIT


def test_the_strip_is_as_long_as_its_risers_and_treads() -> None:
    """Three finished risers of 195 less the tile of 10, two treads of 280 + 14."""
    ring = strip_ring(flight().shape)

    assert ring[2] == (mm(1000).ticks, mm(3 * 185 + 2 * 294).ticks)
    assert [step.bed for step in stairs_of(flight().shape).steps] == [
        mm(5), mm(20), None,
    ]  # fmt: skip


def test_risers_and_treads_are_bands_that_leave_no_gap() -> None:
    found = unrolled(flight(riser_build_up="thin"))

    assert [(region.name, region.build_up) for region in found.regions] == [
        ("riser 1", "thin"), ("tread 1", ""), ("riser 2", "thin"), ("tread 2", ""),
        ("riser 3", "thin"),
    ]  # fmt: skip
    low = mm(0)
    for region in found.regions:
        assert region.bottom is not None
        assert region.height is not None
        assert region.bottom.length == low
        low = low + region.height.length
    assert Length(strip_ring(found.shape)[2][1]) == low
    assert (found.steps, found.use) == (3, "stairs")


def test_only_flights_of_a_space_are_unrolled() -> None:
    (space,) = read_visit(a_bare_visit(a_surface(), a_flight())).spaces

    floor, stairs = unrolled_space(space).surfaces

    assert floor is space.surfaces[0]
    assert len(stairs.regions) == 5


def test_a_flight_is_written_back_as_it_was_read() -> None:
    document = a_bare_visit(
        a_flight(limit="12", laid="riser", nosing="6", riser_build_up="thin")
    )
    read = read_visit(document)

    assert read_visit(written_visit(read)) == read


def test_the_area_of_a_flight_is_that_of_its_risers_and_treads() -> None:
    assert Area(
        strip_ring(flight().shape)[2][0] * strip_ring(flight().shape)[2][1]
    ) == mm(1000).by(mm(1143))


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"rises": ["180"]}, "rises"),
        ({"rises": ["180", "0"]}, "rises[1]"),
        ({"rises": ["180"] * 41}, "rises"),
        ({"tile": "0"}, "tile"),
        ({"laid": "both"}, "laid"),
        ({"height": "3"}, "height"),
    ],
)
def test_a_flight_that_is_none_is_refused_in_its_place(
    changes: dict[str, Any], field: str
) -> None:
    with pytest.raises(Refusal) as caught:
        flight(**changes)

    assert caught.value.field == f"spaces[0].surfaces[0].shape.{field}"


def test_tile_higher_than_a_riser_is_refused_at_the_rises() -> None:
    shape = flight(rises=["180", "8"], landing="0").shape

    with pytest.raises(OutOfRange) as caught:
        stairs_of(shape)

    assert caught.value.field == "shape.rises"


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"role": "floor"}, "role"),
        (
            {
                "openings": [
                    {
                        "id": "pipe",
                        "kind": "other",
                        "left": "1",
                        "bottom": "1",
                        "width": "9",
                        "height": "9",
                    }
                ]
            },
            "openings",
        ),
        ({"regions": [{"id": "r", "kind": "part_height", "height": "9"}]}, "regions"),
    ],
)
def test_what_a_flight_cannot_have_is_refused(
    changes: dict[str, Any], field: str
) -> None:
    with pytest.raises(Refusal) as caught:
        read_visit(a_bare_visit({**a_flight(), **changes}))

    assert caught.value.field == f"spaces[0].surfaces[0].{field}"
