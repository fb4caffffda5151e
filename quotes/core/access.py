"""Says whether the largest board or pan goes through the smallest way in, and turns."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from materials.core.lengths import NOTHING, Length
from materials.core.need import MaterialFacts
from materials.core.sources import Source
from materials.core.working import length_in
from quotes.core.extents import LayerExtent
from quotes.core.taken import Caution
from quotes.core.visit import Visit

ACCESS = Source.shop_practice("a sheet must pass the way in and turn in the space")


def access_cautions(visit: Visit, extents: Sequence[LayerExtent]) -> Iterator[Caution]:
    """Yield which sheet, pan or tile does not come in or does not turn.

    A sheet passes on its edge where its shorter side is no larger than the opening's
    larger one; it turns where one of its sides is no larger than the clear space.
    """
    site = visit.site
    gate = [typed.length for typed in (site.access_width, site.access_height) if typed]
    seen: set[str] = set()
    for one in extents:
        material = one.placed.standing.catalogue.get(one.layer.material)
        if material is None or material.code in seen:
            continue
        if material.kind not in ("backer_board", "foam_pan", "tile"):
            continue
        seen.add(material.code)
        sides = sorted(
            (
                length_in(material.facts, "width"),
                length_in(material.facts, "length", length_in(material.facts, "depth")),
            )
        )
        system = visit.system
        if len(gate) == 2 and sides[0] > max(gate):
            yield _does_not_pass(material, sides, max(gate), system)
        turning = site.turning.length if site.turning else NOTHING
        if turning and sides[1] > turning and sides[0] > turning:
            yield Caution(
                code="does_not_turn",
                sentence=(
                    f"{material.name}, {sides[0].text(system)} × "
                    f"{sides[1].text(system)}, does not turn in "
                    f"{turning.text(system)}; cut it before it goes in."
                ),
                source=ACCESS,
            )


def _does_not_pass(
    material: MaterialFacts, sides: Sequence[Length], gate: Length, system: str
) -> Caution:
    return Caution(
        code="does_not_pass",
        sentence=(
            f"{material.name} is {sides[0].text(system)} on its shorter side; the way "
            f"in is {gate.text(system)} at most. Split it before it goes in, or score "
            "and fold a board whose face stays whole, and seal the fold."
        ),
        source=ACCESS,
    )
