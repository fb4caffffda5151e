"""The drawing behind a need: the trimmed pan, the sheets and how they are cut."""

from __future__ import annotations

from materials.core.cutting.pan_way_drawing import draw_way

from materials.core.cutting.pan_records import Fit
from materials.core.drawing.style import SCREEN, Style


def plan_svg(
    plan: object | None, *, system: str, name: str, style: Style = SCREEN
) -> str:
    """Return the drawing of a plan, or nothing for a need without one."""
    if isinstance(plan, Fit) and plan.ways:
        return draw_way(plan, system=system, name=name, style=style)
    return ""
