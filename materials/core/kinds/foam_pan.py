"""Factory sloped pans: bought oversized, trimmed to the recess.

Which pan does, how it is turned and what is cut off is found by `cutting.pans`; this
module reads a pan's facts and turns the way that was found into a need.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from moneyed import Money

from materials.core.cutting.pan_records import Pan
from materials.core.errors import OutOfRange
from materials.core.kind import Kind, Parameter
from materials.core.need import Extent, MaterialFacts, Need, Step
from materials.core.sources import Source
from materials.core.working import (
    bounds_of,
    length_in,
    places_of,
    system_of,
)

COVERS = Source(title="fit: the pan's outline over the recess, drain on drain")


def pan_of(material: MaterialFacts, price: Money) -> Pan:
    """Return the pan a price-list material describes, at a price.

    Raises: OutOfRange when a point pan does not say where its drain is.
    """
    facts = material.facts
    kind = str(facts.get("form", "linear"))
    drain_at = None
    if kind == "point":
        across, along = length_in(facts, "drain_x"), length_in(facts, "drain_y")
        if not across or not along:
            raise OutOfRange(
                f"{material.name} drains at a point; enter where its drain is.",
                field="drain_x",
            )
        drain_at = (across, along)
    return Pan(
        name=material.code,
        kind=kind,
        width=length_in(facts, "width"),
        depth=length_in(facts, "depth"),
        thin=length_in(facts, "thin"),
        thick=length_in(facts, "thick"),
        strip=length_in(facts, "strip"),
        strip_drop=length_in(facts, "strip_drop"),
        drain_at=drain_at,
        price=price,
        trim=frozenset(str(facts.get("trim", "")).replace(",", " ").split())
        or frozenset(("drain", "right", "far", "left")),
    )


def need(
    material: MaterialFacts, extents: Sequence[Extent], settings: Mapping[str, object]
) -> Need:
    """Return one pan for each recess, with a check that it covers the rectangle.

    This is the plain count, for a pan that was chosen by hand; `cutting.pans` finds
    whether it slopes to the drain.

    Units: each.
    Raises: OutOfRange when the pan is smaller than the recess in both directions.
    """
    system = system_of(settings)
    width = length_in(material.facts, "width")
    depth = length_in(material.facts, "depth")
    for extent in extents:
        across, along = bounds_of(extent.outline)
        fits = (across <= width and along <= depth) or (
            across <= depth and along <= width
        )
        if not fits:
            raise OutOfRange(
                f"{material.name}, {width.text(system)} × {depth.text(system)}, does "
                f"not cover {extent.place}, {across.text(system)} × "
                f"{along.text(system)}; choose a larger pan.",
                field="material",
            )
    count = sum(extent.times for extent in extents)
    return Need(
        material=material.code,
        unit="each",
        quantity=Fraction(count),
        working=(
            Step(
                label="Pans",
                formula=", ".join(
                    f"{extent.place} × {extent.times}" for extent in extents
                ),
                result=f"{count}",
                source=COVERS,
            ),
        ),
        places=places_of(extents),
    )


KIND = Kind(
    key="foam_pan",
    label="Foam pan",
    sold_as="piece",
    unit="each",
    parameters=(
        Parameter(
            name="form",
            label="Drain",
            type="choice",
            choices=("linear", "point"),
            default="linear",
        ),
        Parameter(name="width", label="Width", type="length", help="along the drain"),
        Parameter(
            name="depth", label="Depth", type="length", help="up the slope, whole"
        ),
        Parameter(
            name="thin",
            label="Thickness where the slope begins",
            type="length",
            may_be_nothing=True,
        ),
        Parameter(name="thick", label="Thickness at the far edge", type="length"),
        Parameter(
            name="strip",
            label="Flat strip at the drain",
            type="length",
            required=False,
            may_be_nothing=True,
        ),
        Parameter(
            name="strip_drop",
            label="Drop of the flat strip",
            type="length",
            required=False,
            may_be_nothing=True,
        ),
        Parameter(
            name="drain_x", label="Drain from left", type="length", required=False
        ),
        Parameter(
            name="drain_y",
            label="Drain from the near edge",
            type="length",
            required=False,
        ),
        Parameter(
            name="trim",
            label="Sides that may be cut",
            type="text",
            required=False,
            help="drain, right, far, left",
        ),
        Parameter(
            name="mass", label="Mass", type="number", unit="kg/m2", required=False
        ),
    ),
    need=need,
    source=COVERS,
)
