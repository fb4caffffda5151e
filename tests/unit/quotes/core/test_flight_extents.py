"""What layers find on risers and treads, worked out by hand.

Three rises of 180, 1 m wide, nothing on the bottom floor and 45 mm on the landing:
finished risers of 195, beds of 5 and 20 mm, treads of 294 × 1000, risers of 185.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from materials.core.errors import Refusal
from materials.core.lengths import Length
from quotes.core.extents import LayerExtent, layer_extents
from quotes.core.flight_extents import bed_layer
from quotes.core.standing import placed_surfaces
from quotes.core.visit_file import read_visit
from tests.builders import a_bare_visit, a_flight

mm = Length.mm
LAYERS: list[dict[str, Any]] = [
    {"role": "waterproofing"},
    {"role": "bed"},
    {"role": "tile"},
    {"role": "trim"},
    {"role": "sealant"},
]


def extents(
    layers: list[dict[str, Any]] | None = None, *, edges: Any = (), **changes: Any
) -> list[LayerExtent]:
    build_ups: dict[str, Any] = {
        "steps": {"name": "Steps", "layers": layers or LAYERS},
        "thin": {"name": "Risers", "layers": LAYERS},
    }
    surface = {**a_flight(**changes), "build_up": "steps", "edges": list(edges)}
    visit = read_visit(a_bare_visit(surface, build_ups=build_ups))
    (placed,) = placed_surfaces(visit, {})
    return layer_extents(placed)


def of(role: str, found: list[LayerExtent]) -> dict[str, Any]:
    return {one.part.name: one.extent for one in found if one.layer.role == role}


def litres(found: list[LayerExtent], role: str = "bed") -> list[Fraction | None]:
    return [extent.volume for extent in of(role, found).values()]


def test_the_bed_is_as_thick_as_equal_risers_want_it() -> None:
    """0.185 m² × 4 mm on each riser; 0.294 m² × 5 and × 20 mm under the treads."""
    on_riser = Fraction("0.74")
    assert litres(extents()) == [
        on_riser, Fraction("1.47"), on_riser, Fraction("5.88"), on_riser,
    ]  # fmt: skip


def test_a_mortar_bed_takes_what_the_other_layers_leave() -> None:
    layers = [
        {"role": "mortar_bed"},
        {"role": "bed", "thickness": "3"},
        {"role": "tile"},
    ]
    found = extents(layers)

    assert litres(found, "mortar_bed")[1:4:2] == [
        Fraction("0.588"), Fraction("4.998"),
    ]  # fmt: skip
    assert litres(found) == [None] * 5


def test_a_bed_thinner_than_what_lies_in_it_is_refused() -> None:
    layers = [{"role": "board", "thickness": "6"}, {"role": "bed"}, {"role": "tile"}]

    with pytest.raises(Refusal) as caught:
        extents(layers)

    assert caught.value.field.endswith("surfaces[0].shape.riser")


def test_risers_with_a_build_up_of_their_own_are_bedded_by_it() -> None:
    assert litres(extents(riser_build_up="thin"))[::2] == [None] * 3


def test_a_profile_runs_along_the_front_of_every_tread() -> None:
    trims = of("trim", extents())

    shown = {
        name: [edge.length for edge in extent.edges if edge.kind == "exposed"]
        for name, extent in trims.items()
    }
    assert shown == {
        "riser 1": [], "tread 1": [mm(1000)], "riser 2": [], "tread 2": [mm(1000)],
        "riser 3": [],
    }  # fmt: skip
    assert all(extent.reveals == () for extent in trims.values())


def test_a_landing_that_shows_gets_its_profile_with_the_tread_below() -> None:
    trims = of("trim", extents(edges=["wall", "wall", "exposed", "exposed"]))

    assert trims["tread 2"].reveals == (mm(1000),)
    assert trims["tread 1"].reveals == ()
    assert [e.length for e in trims["riser 3"].edges if e.kind == "exposed"] == [
        mm(185)
    ]


def test_the_plane_changes_behind_every_tread_and_nowhere_at_the_landing() -> None:
    """Sealed: behind two treads, along both strings, at the bottom floor."""
    found = of("sealant", extents())

    assert sum((e.inside_corners for e in found.values()), mm(0)) == mm(2000)
    assert sum((e.perimeter for e in found.values()), mm(0)) == mm(1000 + 2 * 1143)
    wet = of("waterproofing", extents())["tread 1"]
    assert (wet.inside_corners, wet.outside_corners) == (mm(1000), mm(1000))
    assert wet.corner_runs == (mm(1000), mm(1000))


def test_a_build_up_without_a_bed_has_none_to_make_up() -> None:
    assert litres(extents([{"role": "tile"}]), "tile") == [None] * 5
    (surface,) = read_visit(a_bare_visit(a_flight())).spaces[0].surfaces
    assert surface.build_up == ""
    build_ups = read_visit(
        a_bare_visit(build_ups={"b": {"name": "b", "layers": [{"role": "tile"}]}})
    ).build_ups
    assert bed_layer(build_ups["b"]) is None
