"""The two styles of a drawing: classes for the screen, its own style for print.

The PDF engine does not let the page's style sheet reach into a drawing, so a printed
drawing carries its own. A screen drawing names classes that the style sheet colours,
so that it follows paper and slate, contrast and forced colours.
"""

from __future__ import annotations

from dataclasses import dataclass

PX = 100
"""Hundredths of a pixel in a pixel: the unit of every coordinate."""

PRINT_CSS = (
    ".o{fill:none;stroke:#171c20;stroke-width:1.6}"
    ".of{fill:#fff;stroke:none}"
    ".e{fill:none;stroke:#171c20;stroke-width:.8}"
    ".ef{fill:#fff;stroke:#171c20;stroke-width:.8}"
    ".f{fill:none;stroke:#171c20;stroke-width:.4}"
    ".hid{fill:none;stroke:#171c20;stroke-width:.7;stroke-dasharray:4 2.5}"
    ".gone{fill:none;stroke:#464e53;stroke-width:.5;stroke-dasharray:2 2}"
    ".trim{fill:none;stroke:#171c20;stroke-width:2}"
    ".cl{fill:none;stroke:#1746a2;stroke-width:.6;stroke-dasharray:10 2 2 2}"
    ".exp{fill:none;stroke:#171c20;stroke-width:3;stroke-dasharray:.1 4.4;"
    "stroke-linecap:round}"
    ".fold{fill:none;stroke:#171c20;stroke-width:.8;stroke-dasharray:9 2 2 2}"
    ".dl{fill:none;stroke:#171c20;stroke-width:.5}"
    ".dt{fill:none;stroke:#171c20;stroke-width:1.3}"
    ".solid{fill:#171c20;stroke:none}"
    ".disc{fill:#fff;stroke:none}"
    ".grid{display:none}"
    'text{font-family:"Barlow Semi","Marks",sans-serif;font-weight:500;'
    "font-size:9.6px;fill:#171c20}"
    ".t2{font-size:9.3px;font-weight:400}"
    ".tl{font-size:11px;font-weight:600}"
    ".num{font-size:8px}"
    ".h1{fill:none;stroke:#171c20;stroke-width:.55}"
    ".h2{fill:none;stroke:#171c20;stroke-width:.4}"
    ".h3{fill:none;stroke:#464e53;stroke-width:.45}"
    ".hd{fill:#171c20;stroke:none}"
    ".bad .dl,.bad .dt{stroke:#a5300f}.bad text{fill:#a5300f}"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Style:
    """Sizes of the parts of a drawing, in hundredths of a pixel."""

    name: str
    letter: int
    """Height of ordinary lettering."""
    gap: int
    """From the object to where its extension line starts."""
    over: int
    """How far lines overshoot the corner of a dimension."""
    tick: int
    """Half a slash tick along each axis."""
    above: int
    """From a dimension line up to the foot of its text."""
    level: int
    """From one chain of dimensions to the next one outside it."""
    disc: int
    """Radius of the paper disc under a piece's number."""
    own_css: str
    """The style sheet inside the drawing, empty where the page's reaches it."""

    @property
    def printed(self) -> bool:
        """Whether this is the style of the printed page."""
        return bool(self.own_css)


SCREEN = Style(
    name="screen",
    letter=13_00,
    gap=4_00,
    over=5_00,
    tick=3_50,
    above=4_00,
    level=24_00,
    disc=7_50,
    own_css="",
)
PRINT = Style(
    name="print",
    letter=9_60,
    gap=3_00,
    over=4_00,
    tick=2_60,
    above=2_80,
    level=16_00,
    disc=6_40,
    own_css=PRINT_CSS,
)
