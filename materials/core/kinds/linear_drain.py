"""Drains: one for each sloped floor that has one, with a check of its length."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from materials.core.kind import Kind, Parameter
from materials.core.lengths import Length
from materials.core.need import Extent, MaterialFacts, Need, Step
from materials.core.sources import Source
from materials.core.working import length_in, places_of, system_of

COUNT = Source(title="count: one drain for each sloped floor")


def need(
    material: MaterialFacts, extents: Sequence[Extent], settings: Mapping[str, object]
) -> Need:
    """Return how many drains the sloped floors take: one each, times the repeats.

    Units: each. A recess without a stated drain still gets one. `pieces` of the
    layer overrules the count of each.
    """
    system = system_of(settings)
    each = settings.get("pieces")
    per_floor = each if isinstance(each, int) else 1
    number = sum(extent.times * per_floor for extent in extents)
    notes = [
        note for extent in extents for note in _length_notes(material, extent, system)
    ]
    return Need(
        material=material.code,
        unit="each",
        quantity=Fraction(number),
        working=(
            Step(
                label="Drains",
                formula=" + ".join(
                    f"{extent.place}: {per_floor} × {extent.times}"
                    for extent in extents
                ),
                result=f"{number}",
                source=COUNT,
            ),
        ),
        places=places_of(extents),
        notes=tuple(notes),
    )


def _length_notes(material: MaterialFacts, extent: Extent, system: str) -> list[str]:
    own = length_in(material.facts, "length")
    if extent.recess is None or not own:
        return []
    drain = extent.recess.drain
    asked = drain.get("length")
    if drain.get("kind") != "linear" or not isinstance(asked, int):
        return []
    wanted = Length(asked)
    if own == wanted or (material.facts.get("cut_to_fit") is True and own > wanted):
        return []
    return [
        f"{material.name} is {own.text(system)} long; {extent.place} was measured for "
        f"a drain of {wanted.text(system)}. Change one of the two."
    ]


KIND = Kind(
    key="linear_drain",
    label="Drain",
    sold_as="piece",
    unit="each",
    parameters=(
        Parameter(
            name="form",
            label="Form",
            type="choice",
            choices=("linear", "point"),
            default="linear",
        ),
        Parameter(name="length", label="Length", type="length", required=False),
        Parameter(name="width", label="Width", type="length", required=False),
        Parameter(name="depth", label="Building depth", type="length", required=False),
        Parameter(
            name="cut_to_fit", label="May be cut to length", type="yes_no", default="no"
        ),
    ),
    need=need,
    source=COUNT,
)
