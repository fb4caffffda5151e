from __future__ import annotations

from xml.etree import ElementTree

import pytest

from materials.core.cutting.pan_drawing import way_drawing, ways_drawing
from materials.core.cutting.pan_floor import floor_of
from materials.core.cutting.pan_records import Fit, Recess
from tests.pan_cases import (
    a_board,
    a_drain,
    a_mortar,
    a_pan,
    a_point,
    a_point_pan,
    a_recess,
    box,
    fitted,
    outline,
)

SVG = "{http://www.w3.org/2000/svg}"
ELL = outline((0, 0), (48, 0), (48, 20), (30, 20), (30, 38), (0, 38))


def drawn(recess: Recess, fit: Fit) -> ElementTree.Element:
    return ElementTree.fromstring(ways_drawing(recess, fit))


def of_class(root: ElementTree.Element, name: str) -> list[ElementTree.Element]:
    return [one for one in root.iter() if one.get("class") == name]


def texts(root: ElementTree.Element) -> list[str]:
    return ["".join(one.itertext()) for one in root.iter(f"{SVG}text")]


def test_the_pan_is_dashed_its_trimmings_hatched_and_the_trim_line_heavy() -> None:
    recess = a_recess()

    root = drawn(recess, fitted(recess, a_pan()))

    assert len(of_class(root, "hid")) >= 2
    assert len(of_class(root, "h3")) >= 2
    assert (
        len([one for one in of_class(root, "trim") if one.tag.endswith("polygon")]) == 2
    )
    assert "One pan: Dell 46, 386.40" in texts(root)
    assert "1 : 36" in texts(root)
    assert "Section along the fall, heights × 3" in texts(root)


def test_sizes_are_dimensioned_with_slash_ticks() -> None:
    recess = a_recess()

    root = drawn(recess, fitted(recess, a_pan()))

    lettered = [text.replace("\u00a0", " ") for text in texts(root)]
    assert {"3′ 2″", "1′ 0″", "4′ 2″", "2′ 11″", "3′ 10″"} <= set(lettered)
    assert len(of_class(root, "dt")) == 2 * len(of_class(root, "dim"))


def test_heights_stand_on_triangles() -> None:
    recess = a_recess(drain=a_point(19, 17))

    root = drawn(recess, fitted(recess, a_point_pan()))

    assert len(of_class(root, "lev")) == 4 + 3
    assert texts(root).count("1 : 40") == 4


@pytest.mark.parametrize(
    ("recess", "stock"),
    [
        (a_recess(flats=(box(0, 24, 38, 35),)), {"boards": (a_board(),)}),
        (a_recess(outline=ELL, drain=a_drain(0, 0, 48)), {"mortar": a_mortar()}),
        (a_recess(outline=box(0, 0, 80, 35), drain=a_drain(2, 10, 60)), {}),
        (a_recess(outline=box(0, 0, 38, 35)[::-1], drain=a_drain(0, 0, 35)), {}),
    ],
    ids=["board", "ell and bed", "two pans", "clockwise"],
)
def test_every_way_is_drawn_alike_each_time(
    recess: Recess, stock: dict[str, object]
) -> None:
    fit = fitted(recess, a_pan(), **stock)

    assert fit.ways
    assert ways_drawing(recess, fit) == ways_drawing(recess, fit)
    assert len(drawn(recess, fit).findall(f"{SVG}g")) == len(fit.ways)


def test_without_a_way_the_recess_and_the_first_reason_are_drawn() -> None:
    recess = a_recess()
    fit = fitted(recess, a_pan(thick=a_pan().thin))

    root = drawn(recess, fit)

    assert fit.ways == ()
    assert of_class(root, "o")
    assert texts(root)[0] == fit.refused[0].reason


def test_one_way_alone_is_a_drawing_that_speaks() -> None:
    recess = a_recess()
    way = fitted(recess, a_pan()).ways[0]

    drawing, tall = way_drawing(floor_of(recess), way, name="pan")

    assert ElementTree.fromstring(drawing).get("aria-label") == way.sentence
    assert tall > 0
