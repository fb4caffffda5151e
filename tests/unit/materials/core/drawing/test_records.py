"""What a drawing shows, as records that cannot change."""

from __future__ import annotations

from dataclasses import FrozenInstanceError

import pytest

from materials.core.drawing.records import EDGE_KINDS, Frame, SurfaceDrawing
from materials.core.need import EDGE_KINDS as NEEDED_KINDS


def test_the_edges_drawn_are_the_edges_measured() -> None:
    assert EDGE_KINDS == NEEDED_KINDS


def test_a_frame_does_not_change_under_a_drawing() -> None:
    with pytest.raises(FrozenInstanceError):
        Frame().width = 10  # type: ignore[misc]


def test_a_surface_is_drawn_from_an_outline_and_nothing_more() -> None:
    plain = SurfaceDrawing(name="w", sentence="Wall", outline=((0, 0), (1, 0), (0, 1)))

    assert not plain.edges
    assert not plain.holes
    assert not plain.measured
    assert plain.now is None
