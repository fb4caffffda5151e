"""A surface written back; a short one stays short."""

from __future__ import annotations

import pytest

from quotes.core.surface_writer import shape_document, surface_document
from quotes.core.visit_file import read_visit
from tests.builders import a_bare_visit, a_surface

SHAPES = [
    {"kind": "rectangle", "width": "3 m", "height": "2000"},
    {"kind": "run", "sides": ["1", "1", "1"], "corners": ["60", "60.5"]},
    {"kind": "polygon", "points": [["0", "0"], ["9", "0"], ["0", "9"]]},
    {"kind": "quadrilateral", "sides": ["3", "4", "3", "4"], "diagonal": "5"},
]


@pytest.mark.parametrize("shape", SHAPES, ids=lambda shape: str(shape["kind"]))
def test_an_outline_is_written_as_it_was_read(shape: dict[str, object]) -> None:
    visit = read_visit(a_bare_visit(a_surface(shape=shape)))

    assert shape_document(visit.spaces[0].surfaces[0].shape) == shape


def test_what_was_left_out_is_not_written() -> None:
    surface = read_visit(a_bare_visit(a_surface())).spaces[0].surfaces[0]

    assert set(surface_document(surface)) == {
        "id", "name", "role", "shape", "measured_to", "exposure",
    }  # fmt: skip
