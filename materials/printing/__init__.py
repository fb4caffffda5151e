"""Papers: HTML by template, PDF by an engine shut in a process of its own.

`engine.py` runs in that process and may fetch nothing but data; `child.py` keeps it
warm, limits it and replaces it. `papers.py` lists who makes which paper.
"""

from __future__ import annotations

from materials.printing.child import RENDERER, FontsMissing, PaperRefused

__all__ = ["NO_SHEET", "FontsMissing", "PaperRefused", "pdf_of"]

NO_SHEET = "data:text/css,"
"""What a document's own link to the style sheet is replaced by."""


def pdf_of(html: str) -> bytes:
    """Return a document's HTML as PDF bytes; equal HTML gives equal bytes.

    Raises: FontsMissing when the fonts were not prepared; PaperRefused when the
    document takes more time or memory than a paper may.
    """
    return RENDERER.pdf(html)
