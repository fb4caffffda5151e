"""Marks of state and icons."""

from __future__ import annotations

from xml.etree import ElementTree

import pytest

from materials.core.drawing.marks import (
    CAUTION,
    ICONS,
    KEYS,
    MARKS,
    OWN,
    WRONG,
    icon,
    key_sample,
    numbered,
    state_mark,
)
from materials.core.errors import Unknown


def every_mark() -> list[str]:
    """Return all that is drawn here."""
    return [
        *(state_mark(kind, state) for kind in MARKS for state in MARKS[kind]),
        *(icon(name) for name in ICONS),
        *(key_sample(kind) for kind in KEYS),
        numbered(1),
        CAUTION,
        WRONG,
        OWN,
    ]


def test_every_mark_is_well_formed_and_silent() -> None:
    for drawn in every_mark():
        root = ElementTree.fromstring(drawn)
        assert root.get("aria-hidden") == "true"


def test_marks_carry_their_own_lines_for_paper() -> None:
    for drawn in every_mark():
        assert 'fill="none"' in drawn
        assert 'stroke="currentColor"' in drawn
        assert "style=" not in drawn


def test_no_two_states_look_alike() -> None:
    drawn = [mark for states in MARKS.values() for mark in states.values()]

    assert len(set(drawn)) == len(drawn)


def test_an_unknown_mark_is_refused_by_name() -> None:
    with pytest.raises(Unknown, match="melted"):
        state_mark("quote", "melted")
    with pytest.raises(Unknown, match="rocket"):
        icon("rocket")
    with pytest.raises(Unknown, match="zebra"):
        key_sample("zebra")
