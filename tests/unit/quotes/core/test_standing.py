"""Every surface as it stands: repeats, exceptions, build-ups, shared corners."""

from __future__ import annotations

from typing import Any

import pytest

from materials.core.errors import Refusal
from quotes.core.errors import NoBuildUp, WrongSurface
from quotes.core.standing import Placed, placed_surfaces
from quotes.core.visit_file import read_visit
from tests.builders import a_bare_visit, a_surface

LAYERS = {"f": {"name": "Floor", "layers": [{"role": "tile"}, {"role": "sealant"}]},
          "w": {"name": "Wall", "layers": [{"role": "tile"}]}}  # fmt: skip


def placed(*surfaces: dict[str, Any], **space: Any) -> tuple[Placed, ...]:
    document = a_bare_visit(*surfaces, build_ups=LAYERS)
    document["spaces"][0] |= space
    return placed_surfaces(read_visit(document), {})


def a_wall(**more: Any) -> dict[str, Any]:
    shape = {"kind": "rectangle", "width": "3000", "height": "2400"}
    return a_surface("wall", "wall", shape=shape, **more)


def test_repeats_of_space_and_surface_multiply() -> None:
    (floor,) = placed(a_surface(times=2), times=12)

    assert floor.times == 24


def test_an_exception_takes_its_surface_out_of_some_repeats() -> None:
    floor, wall = placed(
        a_surface(),
        a_wall(),
        times=12,
        exceptions=[{"surface": "wall", "missing": 3, "note": "no bath"}],
    )

    assert (floor.times, wall.times) == (12, 9)


@pytest.mark.parametrize(
    "exceptions",
    [
        [{"surface": "roof", "missing": 1}],
        [{"surface": "floor", "missing": 2}, {"surface": "floor", "missing": 1}],
    ],
)
def test_an_exception_that_cannot_be_is_refused(exceptions: list[Any]) -> None:
    with pytest.raises(WrongSurface):
        placed(a_surface(), times=2, exceptions=exceptions)


def test_a_build_up_that_is_not_there_is_refused_by_its_place() -> None:
    for more, field in (
        ({"build_up": "x"}, "build_up"),
        (
            {"regions": [{"id": "r", "kind": "border", "width": "9", "build_up": "x"}]},
            "regions[0].build_up",
        ),
    ):
        with pytest.raises(NoBuildUp) as caught:
            placed(a_surface(**more))
        assert caught.value.field == f"spaces[0].surfaces[0].{field}"


def test_a_bad_outline_names_its_surface() -> None:
    shape = {"kind": "polygon", "points": [["0", "0"], ["9", "0"], ["18", "0"]]}

    with pytest.raises(Refusal) as caught:
        placed(a_surface(), a_wall() | {"shape": shape})

    assert caught.value.field == "spaces[0].surfaces[1].shape"


def test_a_shared_corner_counts_with_the_first_surface() -> None:
    floor, wall = placed(a_surface(build_up="w"), a_wall(build_up="w"))

    assert floor.counts_corner(0, "tile")
    assert not wall.counts_corner(0, "tile")
    assert not floor.counts_corner(1, "tile")


def test_a_corner_goes_to_the_only_surface_that_has_the_layer() -> None:
    floor, wall = placed(a_surface(build_up="w"), a_wall(build_up="f"))

    assert wall.counts_corner(0, "sealant")
    assert not wall.counts_corner(0, "tile")
    assert floor.counts_corner(0, "tile")


def test_a_region_takes_its_own_build_up_or_the_field_s() -> None:
    (floor,) = placed(
        a_surface(
            build_up="f",
            regions=[
                {"id": "r", "kind": "border", "width": "9", "build_up": "w"},
                {"id": "s", "kind": "band", "bottom": "9", "height": "9"},
            ],
        )
    )

    own, plain = floor.surface.regions
    keys = [
        build_up.key if (build_up := floor.build_up_of(region)) else ""
        for region in (own, plain, None)
    ]
    assert keys == ["w", "f", "f"]
