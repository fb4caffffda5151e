"""What pages and papers of the middle app show, ready formatted."""

from __future__ import annotations

from quotes.presenters.changes import price_changes
from quotes.presenters.drawings import drawn_as_typed, surface_svg
from quotes.presenters.stages import stages
from quotes.presenters.surfaces import (
    build_up_choices,
    surface_sheet,
    usual_surface,
)
from quotes.presenters.visits import visit_sheet

__all__ = [
    "build_up_choices",
    "drawn_as_typed",
    "price_changes",
    "stages",
    "surface_sheet",
    "surface_svg",
    "usual_surface",
    "visit_sheet",
]
