"""Edges, openings, regions, readings, drains and slopes of a surface."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from materials.core.errors import Refusal
from materials.core.lengths import Length
from quotes.core.visit import Surface
from quotes.core.visit_file import read_visit
from tests.builders import a_bare_visit, a_surface

mm = Length.mm


def read(**changes: Any) -> Surface:
    return read_visit(a_bare_visit(a_surface(**changes))).spaces[0].surfaces[0]


OPENING = {
    "id": "w", "kind": "window", "left": "100", "bottom": "200", "width": "600",
    "height": "700",
}  # fmt: skip


def test_edges_are_words_or_say_what_they_meet() -> None:
    surface = read(
        edges=["wall", "exposed", {"kind": "fold", "meets": "b", "runs": "to"}, "wall"]
    )

    assert [note.kind for note in surface.edges] == ["wall", "exposed", "fold", "wall"]
    assert (surface.edges[2].meets, surface.edges[2].runs) == ("b", "to")


def test_an_opening_is_read_with_its_place() -> None:
    (opening,) = read(openings=[{**OPENING, "trim": True, "depth": "90"}]).openings

    assert (opening.left.length, opening.height.length) == (mm(100), mm(700))
    assert opening.trim
    assert opening.depth is not None


def test_drain_flat_slope_and_lowest_are_read() -> None:
    surface = read(
        role="recess",
        drain={"kind": "linear", "side": 0, "from": "100", "length": "800"},
        flat=[[["0", "0"], ["400", "0"], ["400", "400"]]],
        slope={"min": "1/50", "max": "1/30"},
        lowest="20",
    )

    assert surface.drain is not None
    assert surface.drain.line is not None
    assert surface.drain.line.length == mm(800)
    assert len(surface.flat[0]) == 3
    assert surface.slope is not None
    assert surface.slope.least == Fraction(1, 50)
    assert surface.lowest is not None


def test_readings_and_heights_are_read() -> None:
    surface = read(
        readings=[{"side": 0, "low": "2990", "high": "3004", "plumb": "-3"}],
        heights=[{"x": "0", "y": "0", "height": "-4"}],
    )

    assert surface.readings[0].plumb is not None
    assert surface.readings[0].plumb.length == -mm(3)
    assert surface.heights[0].height.length == -mm(4)


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"role": "roof"}, "role"),
        ({"measured_to": "paint"}, "measured_to"),
        ({"exposure": "moist"}, "exposure"),
        ({"use": "dancing"}, "use"),
        ({"times": 0}, "times"),
        ({"steps": -1}, "steps"),
        ({"edges": ["soft"]}, "edges[0].kind"),
        ({"edges": [{"kind": "wall", "runs": "by"}]}, "edges[0].runs"),
        ({"edges": [7]}, "edges[0]"),
        ({"openings": [{**OPENING, "kind": "hole"}]}, "openings[0].kind"),
        ({"openings": [{**OPENING, "width": "0"}]}, "openings[0].width"),
        ({"openings": [{**OPENING, "wide": "1"}]}, "openings[0].wide"),
        ({"regions": [{"id": "r", "kind": "stripe"}]}, "regions[0].kind"),
        ({"regions": [{"id": "r", "kind": "band", "bottom": "9"}]},
         "regions[0].height"),
        ({"regions": [{"id": "r", "kind": "border", "width": "-9"}]},
         "regions[0].width"),
        ({"drain": {"kind": "ditch"}}, "drain.kind"),
        ({"drain": {"kind": "linear", "side": 0}}, "drain.length"),
        ({"drain": {"kind": "point"}}, "drain.at"),
        ({"flat": [[["0", "0"], ["1", "1"]]]}, "flat[0]"),
        ({"slope": {"min": "1/20", "max": "1/40"}}, "slope.max"),
        ({"readings": [{"low": "3"}]}, "readings[0].side"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused_by_its_place(
    changes: dict[str, Any], field: str
) -> None:
    with pytest.raises(Refusal) as caught:
        read(**changes)

    assert caught.value.field == f"spaces[0].surfaces[0].{field}"
