"""Surfaces measured on their page: every shape, its parts, and every refusal.

A refusal stands beside its field, keeps all that was typed, and changes no row.
"""

from __future__ import annotations

from typing import Any

import pytest

from quotes.models import Opening, Region, Space, Surface, Visit
from quotes.services import save_build_up, save_surface
from tests.service.office import (
    WALL,
    a_space,
    ada,
    ben,
    faults,
    new_key,
    send,
    signed_in,
    text_of,
)

pytestmark = pytest.mark.django_db

WINDOW = {
    "opening_0_kind": "window",
    "opening_0_left": "300",
    "opening_0_bottom": "900",
    "opening_0_width": "600",
    "opening_0_height": "700",
}
SHAPES: dict[str, dict[str, str]] = {
    "rectangle": {},
    "l": {"cut_width": "600", "cut_height": "500", "cut_corner": "upper_left"},
    "u": {"cut_left": "400", "cut_width": "600", "cut_height": "500"},
    "quadrilateral": {
        "side_0": "3000",
        "side_1": "4000",
        "side_2": "3000",
        "side_3": "4000",
        "diagonal": "5000",
    },
    "run": {"run": "1200\n900\n1200\n900"},
    "polygon": {"points": "0; 0\n1200; 0\n1200; 900\n0; 900"},
    "stairs": {
        "rises": "176, 178, 177",
        "going": "270",
        "bottom": "0",
        "landing": "30",
        "tile": "9",
        "bed": "5",
        "riser": "14",
        "laid": "riser",
        "limit": "12",
        # A flight takes no openings: the row of the wall's own is left empty.
        "opening_0_kind": "",
    },
}
NO_SIZES = {
    "nothing": "",
    "zero": "0",
    "below nothing": "-2400",
    "a wall of 900 ft": "900'",
    "not a number": "NaN",
    "without end": "inf",
    "other digits": "٢٤٠٠",
    "forty digits": "9" * 40,
    "a word": "wide",
    "money": "£24",
    "one over zero": "1/0",
}


def stored() -> tuple[int, ...]:
    """Return what a refusal must leave alone."""
    return (
        Surface.objects.count(),
        Opening.objects.count(),
        Region.objects.count(),
        *Visit.objects.values_list("version", flat=True),
        *Space.objects.values_list("version", flat=True),
        *Surface.objects.values_list("version", flat=True),
    )


def refused(space: Space, field: str, sentence: str, **change: str) -> str:
    """Send a surface that must be refused; return the page that comes back."""
    before = stored()
    response = send(
        signed_in(ben()), "add-surface", space.uid, expect=422, **{**WALL, **change}
    )
    page = str(response.content.decode())
    assert f'id="in-{field}-wrong"' in page, faults(response)
    assert any(sentence in fault for fault in faults(response)), faults(response)
    assert "spaces[" not in page
    assert 'value="Back wall"' in page
    assert stored() == before
    return page


def test_a_wall_is_kept_as_it_was_typed() -> None:
    space = a_space()

    send(signed_in(ben()), "add-surface", space.uid, **{**WALL, "width": "2.4 m"})

    wall = Surface.objects.get()
    assert (wall.name, wall.role, wall.measured_to) == ("Back wall", "wall", "framing")
    assert wall.facts["shape"] == {
        "kind": "rectangle",
        "width": "2.4 m",
        "height": "2100",
    }


@pytest.mark.parametrize("shape", SHAPES)
def test_every_shape_is_kept_and_comes_back_as_typed(shape: str) -> None:
    space, browser = a_space(), signed_in(ben())

    send(browser, "add-surface", space.uid, **{**WALL, **SHAPES[shape], "shape": shape})

    wall = Surface.objects.get()
    page = text_of(browser, "surface", wall.uid)
    assert wall.facts["shape"]["kind"] == shape
    assert "<svg" in page
    for typed in filter(None, SHAPES[shape].values()):
        assert typed.splitlines()[0] in page


def test_a_wall_stands_on_its_floor() -> None:
    space, browser = a_space(), signed_in(ben())
    send(browser, "add-surface", space.uid, **{**WALL, "name": "Floor", "role": "floor",
                                               "height": "900"})  # fmt: skip
    floor = Surface.objects.get()

    send(browser, "add-surface", space.uid, **{**WALL, "shape": "wall_of",
         "floor": str(floor.uid), "floor_side": "2", "height": "2100"})  # fmt: skip

    wall = Surface.objects.exclude(pk=floor.pk).get()
    assert wall.facts["shape"]["floor"] == str(floor.uid)
    assert wall.facts["shape"]["side"] == 1


def test_openings_regions_and_drain_are_kept_and_come_back() -> None:
    space, browser = a_space(), signed_in(ben())
    parts = {
        **WINDOW,
        "region_0_kind": "band",
        "region_0_left": "0",
        "region_0_bottom": "1700",
        "region_0_width": "2400",
        "region_0_height": "200",
        "role": "recess",
        "drain": "linear",
        "drain_side": "1",
        "drain_from": "100",
        "drain_length": "800",
        "slope_min": "1/48",
        "slope_max": "1/24",
    }

    send(browser, "add-surface", space.uid, **{**WALL, **parts})

    surface = Surface.objects.get()
    assert surface.facts["drain"] == {
        "kind": "linear",
        "side": 0,
        "from": "100",
        "length": "800",
    }
    assert surface.facts["slope"] == {"min": "1/48", "max": "1/24"}
    assert Opening.objects.get().facts["width"] == "600"
    assert Region.objects.get().kind == "band"
    page = text_of(browser, "surface", surface.uid)
    for name in parts.keys() - {"role"}:
        assert f'name="{name}"' in page


def test_an_opening_unchosen_is_taken_out() -> None:
    space, browser = a_space(), signed_in(ben())
    send(browser, "add-surface", space.uid, **WALL, **WINDOW)
    wall = Surface.objects.get()

    send(browser, "surface", wall.uid, **{**WALL, **WINDOW, "opening_0_kind": ""})

    assert Opening.objects.count() == 0


@pytest.mark.parametrize("typed", NO_SIZES.values(), ids=NO_SIZES)
def test_a_size_that_is_none_is_refused_beside_its_field(typed: str) -> None:
    page = refused(a_space(), "width", "", width=typed)

    assert 'value="2100"' in page
    if typed:
        assert typed.replace("'", "&#x27;") in page


@pytest.mark.parametrize("typed", ["0", "-1", "900'", "NaN", "٧", "9" * 40, ""])
def test_an_opening_of_no_size_is_refused_beside_its_field(typed: str) -> None:
    page = refused(
        a_space(), "opening_0_width", "", **{**WINDOW, "opening_0_width": typed}
    )

    assert '<option value="window" selected>' in page
    assert 'name="opening_0_height" id="in-opening_0_height" value="700"' in page


BOWTIE = "0; 0\n1000; 900\n1000; 0\n0; 700"
WRONG_SHAPES: list[tuple[str, str, dict[str, str]]] = [
    ("opening_0_kind", "does not lie inside", {**WINDOW, "opening_0_width": "5000"}),
    ("opening_0_kind", "does not lie inside", {**WINDOW, "opening_0_left": "2000"}),
    (
        "opening_1_kind",
        "overlap",
        {**WINDOW, **{name.replace("0", "1"): value for name, value in WINDOW.items()}},
    ),
    ("points", "", {"shape": "polygon", "points": BOWTIE}),
    ("points", "", {"shape": "polygon", "points": "0; 0\n1000; 0"}),
    ("rises", "at least two", {**SHAPES["stairs"], "shape": "stairs", "rises": "180"}),
    ("rises", "was not understood", {**SHAPES["stairs"], "shape": "stairs",
                                     "rises": "180, x"}),
    ("rises", "no higher than the tile", {**SHAPES["stairs"], "shape": "stairs",
                                          "rises": "180, 8", "landing": "0"}),
    ("tile", "is missing", {**SHAPES["stairs"], "shape": "stairs",
                                     "tile": ""}),
    ("run", "at least three sides", {"shape": "run", "run": "1000\n500"}),
    ("run", "was not understood", {"shape": "run", "run": "1000\nx\n1000\n500"}),
    ("cut_width", "as large as the whole", {**SHAPES["l"], "shape": "l",
                                            "cut_width": "3000"}),
    ("diagonal", "", {**SHAPES["quadrilateral"], "shape": "quadrilateral",
                      "diagonal": "9000"}),
    ("side_2", "No length was typed", {**SHAPES["quadrilateral"], "side_2": "",
                                       "shape": "quadrilateral"}),
    ("floor", "is empty", {"shape": "wall_of", "floor": "", "floor_side": "1"}),
    ("region_0_height", "reaches 400", {"region_0_kind": "band", "region_0_bottom": "0",
                                        "region_0_height": "400 cm"}),
    ("region_0_width", "reaches", {"region_0_kind": "panel", "region_0_left": "9000",
                                  "region_0_bottom": "0", "region_0_width": "500",
                                  "region_0_height": "500"}),
    ("drain_side", "has 4 sides", {"role": "recess", "drain": "linear",
                                   "drain_side": "9", "drain_length": "800"}),
    ("drain_length", "longer than its side", {"role": "recess", "drain": "linear",
                                              "drain_side": "1",
                                              "drain_length": "8000"}),
    ("drain_x", "was not understood", {"role": "recess", "drain": "point",
                                       "drain_x": "100", "drain_y": "x"}),
]  # fmt: skip


@pytest.mark.parametrize(("field", "sentence", "change"), WRONG_SHAPES)
def test_what_cannot_be_measured_is_refused_beside_its_field(
    field: str, sentence: str, change: dict[str, str]
) -> None:
    page = refused(a_space(), field, sentence, **change)

    for typed in filter(None, change.values()):
        assert typed.splitlines()[0] in page


@pytest.mark.parametrize(
    "change",
    [
        {"name": ""},
        {"role": "moat"},
        {"shape": "heart"},
        {"measured_to": "moon"},
        {"times": "0"},
        {"times": "x"},
        {"times": "9" * 40},
        {"build_up": "none-such"},
    ],
    ids=str,
)
def test_the_fixed_part_is_refused_in_its_place(change: dict[str, str]) -> None:
    space = a_space()
    before = stored()

    response = send(
        signed_in(ben()), "add-surface", space.uid, expect=422, **{**WALL, **change}
    )

    assert faults(response)
    assert 'value="2400"' in response.content.decode()
    assert stored() == before


def test_a_character_no_database_keeps_is_left_out() -> None:
    space = a_space()

    send(signed_in(ben()), "add-surface", space.uid, **WALL, notes="damp\0 corner")

    assert Surface.objects.get().facts["notes"] == "damp corner"


def test_a_stale_page_changes_nothing_and_keeps_the_entry() -> None:
    space, browser = a_space(), signed_in(ben())
    send(browser, "add-surface", space.uid, **WALL)
    wall = Surface.objects.get()
    send(browser, "surface", wall.uid, version="1", **{**WALL, "width": "2500"})

    response = send(browser, "surface", wall.uid, expect=422, version="1",
                    **{**WALL, "width": "2600"})  # fmt: skip

    wall.refresh_from_db()
    assert wall.facts["shape"]["width"] == "2500"
    assert "changed on another screen" in " ".join(faults(response))
    assert 'value="2600"' in response.content.decode()


def test_what_the_page_has_no_field_for_survives_an_edit() -> None:
    space, browser = a_space(), signed_in(ben())
    window, band = new_key(), new_key()
    save_build_up(visit=space.visit, key_name="plain", name="Plain", layers=[])
    before: dict[str, Any] = {
        "name": "Back wall",
        "role": "wall",
        "measured_to": "framing",
        "exposure": "dry",
        "use": "",
        "times": 1,
        "shape": {"kind": "rectangle", "width": "2400", "height": "2100"},
        "readings": [{"side": 0, "low": "2398", "high": "2402"}],
        "heights": [{"x": "0", "y": "0", "height": "3"}],
        "openings": [
            {"id": window, "kind": "window", "left": "300", "bottom": "900",
             "width": "600", "height": "700", "lining": "plain"},
        ],
        "regions": [
            {"id": band, "kind": "band", "left": "0", "bottom": "1700",
             "width": "2400", "height": "200", "pattern": {"name": "stack"}},
        ],
    }  # fmt: skip
    wall = save_surface(space=space, entry=before, person=ada(), key=new_key())
    page = text_of(browser, "surface", wall.uid)
    assert window in page
    posted = {
        **WALL,
        **WINDOW,
        "name": "Rear wall",
        "opening_0_id": window,
        "region_0_kind": "band",
        "region_0_id": band,
        "region_0_left": "0",
        "region_0_bottom": "1600",
        "region_0_width": "2400",
        "region_0_height": "200",
    }
    send(browser, "surface", wall.uid, version=str(wall.version), **posted)

    wall.refresh_from_db()
    assert wall.name == "Rear wall"
    assert wall.facts["readings"] == before["readings"]
    assert wall.facts["heights"] == before["heights"]
    assert Opening.objects.get().facts["lining"] == "plain"
    region = Region.objects.get()
    assert region.facts["pattern"] == {"name": "stack"}
    assert region.facts["bottom"] == "1600"
    assert str(region.uid) == band


def test_a_new_surface_opens_without_a_caution() -> None:
    space, browser = a_space(), signed_in(ben())
    first = text_of(browser, "add-surface", space.uid)
    send(browser, "add-surface", space.uid, **WALL)
    second = text_of(browser, "add-surface", space.uid)

    for page in (first, second):
        assert "Not understood" not in page
        assert 'class="caution"' not in page


@pytest.mark.parametrize(
    "change", [{}, {"width": "0"}, {"times": "x"}, {"role": "moat"}]
)
def test_drawing_as_typed_changes_no_row(change: dict[str, str]) -> None:
    space = a_space()
    before = stored()

    response = send(
        signed_in(ben()), "draw-surface", space.uid, expect=200, **{**WALL, **change}
    )

    page = response.content.decode()
    assert ("<svg" in page) if not change else ("Not understood yet" in page)
    assert stored() == before


def test_a_drawing_asked_for_without_a_word_is_empty() -> None:
    response = send(signed_in(ben()), "draw-surface", a_space().uid, expect=200)

    assert response.content.decode().strip() == ""


def test_a_surface_and_a_space_can_be_taken_out() -> None:
    space, browser = a_space(), signed_in(ben())
    send(browser, "add-surface", space.uid, **WALL)

    send(browser, "surface", Surface.objects.get().uid, remove="1")
    assert Surface.objects.count() == 0
    send(browser, "space", space.uid, remove="1")
    assert Space.objects.count() == 0
