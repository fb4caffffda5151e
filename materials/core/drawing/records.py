"""What a drawing of a surface shows, as plain records."""

from __future__ import annotations

from dataclasses import dataclass

from materials.core.drawing.style import SCREEN, Style
from materials.core.drawing.symbols import KeyPlan
from materials.core.lengths import Length

WALL = "wall"
EXPOSED = "exposed"
THRESHOLD = "threshold"
FOLD = "fold"
EDGE_KINDS = (WALL, EXPOSED, THRESHOLD, FOLD)

Place = tuple[int, int]
"""A point of the surface in ticks: x to the right, y up."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Hole:
    """An opening, niche or fixture cut out of a surface."""

    outline: tuple[Place, ...]
    word: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Diagonal:
    """A reading from corner to corner, counted from nought."""

    start: int
    end: int
    letter: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class SurfaceDrawing:
    """What a drawing of one surface shows."""

    name: str
    """Letters, figures and hyphens: makes ids unique on a page."""
    sentence: str
    outline: tuple[Place, ...]
    """Anticlockwise, seen from the room."""
    measured: tuple[Length | None, ...] = ()
    """One a side, in the order of the outline; None or missing: from the points."""
    edges: tuple[str, ...] = ()
    """A kind for each side; missing ones are walls."""
    letters: tuple[str, ...] = ()
    holes: tuple[Hole, ...] = ()
    diagonals: tuple[Diagonal, ...] = ()
    now: int | None = None
    """The side being measured."""
    note: str = ""
    plan: KeyPlan | None = None
    squared: bool = False
    """Whether to draw squared paper under it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """How large a drawing is made, and how it is lettered."""

    style: Style = SCREEN
    system: str = "imperial"
    width: int = 358
    """Pixels across, dimensions included; a phone's sheet has 358 to give."""
    height: int = 420
    """Most pixels down; the drawing takes less when it is wide."""
    ratio: int | None = None
    """A named scale, 1 : ratio, for print; it then decides the size alone."""
