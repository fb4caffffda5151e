"""Make sketches.json: surfaces and the drawings the server makes of them.

`python -m tests.vectors.make_sketches` writes the file anew. The phone's sketch must
make the same text of each surface, and the server must go on making it: these are
regression cases of our own, not published figures.
"""

from __future__ import annotations

import json
from dataclasses import asdict
from fractions import Fraction
from pathlib import Path
from typing import Any

from materials.core.drawing.records import (
    Diagonal,
    Frame,
    Hole,
    Place,
    SurfaceDrawing,
)
from materials.core.drawing.surface import draw_surface
from materials.core.drawing.symbols import KeyPlan
from materials.core.lengths import INCH, MM, Length

PLACE = Path(__file__).with_name("sketches.json")


def inches(*corners: tuple[str, str]) -> tuple[Place, ...]:
    """Return corners given in inches."""
    return tuple((int(Fraction(x) * INCH), int(Fraction(y) * INCH)) for x, y in corners)


def millimetres(*corners: tuple[int, int]) -> tuple[Place, ...]:
    """Return corners given in millimetres."""
    return tuple((x * MM, y * MM) for x, y in corners)


def box(left: str, bottom: str, width: str, height: str) -> tuple[Place, ...]:
    """Return a rectangle in inches."""
    x, y, w, h = (Fraction(value) for value in (left, bottom, width, height))
    return inches(
        (str(x), str(y)),
        (str(x + w), str(y)),
        (str(x + w), str(y + h)),
        (str(x), str(y + h)),
    )


def surfaces() -> dict[str, SurfaceDrawing]:
    """Return the cases by name: each shows what the others do not."""
    return {
        "rectangle": SurfaceDrawing(
            name="rectangle", sentence="A plain wall", outline=box("0", "0", "90", "96")
        ),
        "out of square": SurfaceDrawing(
            name="square-no",
            sentence="A wall that leans & bows < 1\"",
            outline=inches(
                ("0", "0"), ("54.5", "0"), ("54.375", "94"), ("0.125", "93.75")
            ),
            measured=(Length.inch("54 1/2"), Length.inch("94 1/16"), None, None),
            letters=("a", "b", "c", "d"),
            diagonals=(Diagonal(start=0, end=2, letter="e"),),
            holes=(Hole(outline=box("20.25", "40.5", "14.5", "24")),),
            now=1,
            note="closes to ⅛″",
            squared=True,
            plan=KeyPlan(
                outline=inches(("0", "0"), ("54", "0"), ("54", "34"), ("0", "34")),
                heavy=2,
                open_sides=(0,),
                letters=("", "C", "B", "A"),
            ),
        ),
        "crowded openings": SurfaceDrawing(
            name="crowded",
            sentence="A low wall with two outlets",
            outline=box("0", "0", "132", "24"),
            holes=(
                Hole(outline=box("30", "4", "6", "4")),
                Hole(outline=box("60", "0", "36", "12")),
            ),
            edges=("wall", "exposed", "exposed", "wall"),
        ),
        "l": SurfaceDrawing(
            name="ell",
            sentence="A hall",
            outline=millimetres(
                (0, 0), (3810, 0), (3810, 1219), (1532, 1219), (1532, 2845), (0, 2845)
            ),
            edges=("wall", "threshold", "wall", "wall", "fold"),
        ),
        "u": SurfaceDrawing(
            name="you",
            sentence="A recess between two returns",
            outline=millimetres(
                (0, 0), (2540, 0), (2540, 1524), (1778, 1524), (1778, 762),
                (635, 762), (635, 1778), (0, 1778),
            ),
        ),
        "slanting": SurfaceDrawing(
            name="stair",
            sentence="Under a stair",
            outline=millimetres(
                (0, 0), (2032, 0), (2032, 1016), (1270, 2286), (0, 2286)
            ),
            plan=KeyPlan(
                outline=millimetres((0, 0), (4000, 0), (4000, 2000)), heavy=0
            ),
        ),
        "tiny": SurfaceDrawing(
            name="tiny",
            sentence="A kerb's end",
            outline=inches(("0", "0"), ("1/64", "0"), ("1/64", "3"), ("0", "3")),
            squared=True,
        ),
        "very long": SurfaceDrawing(
            name="long",
            sentence="A corridor",
            outline=millimetres((0, 0), (94_000, 0), (94_000, 1_150), (0, 1_150)),
            squared=True,
        ),
    }  # fmt: skip


FRAMES = (
    Frame(system="imperial", width=390, height=350),
    Frame(system="metric", width=320, height=420),
)


def cases() -> list[dict[str, Any]]:
    """Return each surface in each frame with the text of its drawing."""
    return [
        {
            "surface": _plain(surface),
            "frame": {
                "system": frame.system,
                "width": frame.width,
                "height": frame.height,
            },
            "svg": draw_surface(surface, frame),
        }
        for surface in surfaces().values()
        for frame in FRAMES
    ]


def _plain(surface: SurfaceDrawing) -> dict[str, Any]:
    plain = asdict(surface)
    plain["measured"] = [
        None if length is None else length.ticks for length in surface.measured
    ]
    return plain


def text() -> str:
    """Return the file as it is written."""
    lines = [json.dumps(case, sort_keys=True) for case in cases()]
    return "[\n" + ",\n".join(lines) + "\n]\n"


if __name__ == "__main__":
    PLACE.write_text(text(), encoding="utf-8")
