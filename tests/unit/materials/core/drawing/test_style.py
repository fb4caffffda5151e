"""The two styles of a drawing."""

from __future__ import annotations

import re
from dataclasses import astuple

from materials.core.drawing.style import PRINT, SCREEN
from tests.source_files import text_of

CLASSES = (
    "o", "of", "e", "ef", "f", "hid", "trim", "cl", "exp", "fold", "dl", "dt",
    "solid", "disc", "t2", "tl", "num", "h1", "h2", "h3", "hd",
)  # fmt: skip


def test_only_the_printed_style_carries_its_own_rules() -> None:
    assert PRINT.printed
    assert not SCREEN.printed


def test_every_class_of_a_drawing_is_styled_on_screen_and_in_print() -> None:
    screen = text_of("static/css/screen.css")
    for name in CLASSES:
        assert re.search(rf"\.{name}\{{", PRINT.own_css), name
        assert re.search(rf"& \.{name} \{{", screen), name


def test_sizes_are_whole_hundredths_of_a_pixel() -> None:
    for style in (SCREEN, PRINT):
        assert all(type(size) in (int, str) for size in astuple(style))
