"""The drawings that go with an offer: each surface, and the pan behind the floor.

How boards are cut is the setter's: it stays on the page of what is bought.
"""

from __future__ import annotations

from collections.abc import Mapping

from django.utils.translation import gettext as _

from materials.core.drawing.records import Frame
from materials.core.drawing.style import PRINT
from materials.core.need import MaterialFacts
from quotes.core.document import Drawing
from quotes.core.estimate import Estimate
from quotes.models import Revision
from quotes.presenters.drawings import surface_svg
from quotes.presenters.plans import plan_svg, ways_of
from quotes.presenters.set_outs import tile_sheets
from quotes.queries.estimating import catalogue_of, priced, visit_record

HALF_SHEET = 310
"""Pixels of one drawing where two stand side by side."""


def offer_drawings(revision: Revision) -> tuple[Drawing, ...]:
    """Return the drawings of a revision's visit, in print style."""
    visit, on = revision.quote.visit, revision.priced_on
    catalogue = catalogue_of(on, visit_record(visit), visit)
    found = priced(visit, catalogue=catalogue, on=on)
    return estimate_drawings(found, catalogue)


def estimate_drawings(
    found: Estimate, catalogue: Mapping[str, MaterialFacts]
) -> tuple[Drawing, ...]:
    """Return the drawings of an estimate, in print style."""
    system = found.visit.system
    drawings = [
        Drawing(
            key=f"surface-{place}",
            title=row.place,
            svg=surface_svg(
                row,
                system=system,
                name=f"q{place}",
                frame=Frame(style=PRINT, system=system, width=300, height=230),
            ),
            description=f"{row.place}, {row.net_area.text(system)}",
        )
        for place, row in enumerate(found.takeoff.surfaces)
    ]
    drawings += _set_outs(found, catalogue)
    for place, need in enumerate(found.takeoff.needs):
        material = catalogue[need.material]
        svg = plan_svg(
            ways_of(need.plan),
            system=system,
            name=f"p{place}",
            style=PRINT,
        )
        if svg:
            drawings.append(Drawing(key=f"plan-{place}", title=material.name, svg=svg))
    return tuple(drawings)


def _set_outs(found: Estimate, catalogue: Mapping[str, MaterialFacts]) -> list[Drawing]:
    """Return a drawing of every tiled part, at a named scale."""
    system = found.visit.system
    return [
        Drawing(
            key=f"setout-{rank}-{place}",
            title=_("Set-out: %(place)s") % {"place": row.place},
            svg=row.svg,
            description=f"{tile.name}. {row.words} {row.origin}".strip(),
        )
        for rank, tile in enumerate(
            tile_sheets(
                found.takeoff, catalogue, system=system, style=PRINT, width=HALF_SHEET
            )
        )
        for place, row in enumerate(tile.places)
    ]
