"""Files of the project as text, for tests that compare two of them."""

from __future__ import annotations

from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent


def text_of(place: str) -> str:
    """Return a file of the project, named from its root."""
    return (ROOT / place).read_text(encoding="utf-8")
