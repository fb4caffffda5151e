"""Sealant at changes of plane and along perimeters: metres × the joint's section."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from materials.core.kind import Kind, Parameter
from materials.core.lengths import INCH, Length
from materials.core.need import Extent, MaterialFacts, Need, Step
from materials.core.sources import Source
from materials.core.working import (
    chosen_length,
    chosen_number,
    figure,
    places_of,
    run_text,
    system_of,
    total_corners,
    total_perimeter,
    with_loss,
)

GEOMETRY = Source(title="geometry: length × width × depth of the joint")

WIDTH = Length(INCH // 8)
"""Joint width when neither layer nor sheet says: common practice, 1/8 in."""


def need(
    material: MaterialFacts, extents: Sequence[Extent], settings: Mapping[str, object]
) -> Need:
    """Return the volume of sealant for the corners and perimeters of the extents.

    Changes of plane, perimeters and fixtures get sealant, never grout. The layer may
    set `joint` (width), `depth`, `loss` and `along`: "corners" leaves perimeters out,
    "perimeter" leaves changes of plane out.

    Units: ml.
    """
    system = system_of(settings)
    along = str(settings.get("along", "all"))
    width = chosen_length("joint", settings, material.facts, WIDTH)
    depth = chosen_length("depth", settings, material.facts, width)
    metres, run_step = _run(extents, along, system)
    net = metres.in_m * width.in_mm * depth.in_mm
    share = chosen_number("loss", settings, material.facts)
    quantity, loss, loss_steps = with_loss(net, share, "ml")
    steps = (
        run_step,
        Step(
            label="Volume",
            formula=(
                f"{run_text(metres, system)} × {width.text(system)} wide × "
                f"{depth.text(system)} deep"
            ),
            result=figure(net, "ml", places=1),
            source=GEOMETRY,
        ),
    )
    return Need(
        material=material.code,
        unit="ml",
        quantity=quantity,
        loss=loss,
        working=(*steps, *loss_steps),
        places=places_of(extents),
    )


def _run(extents: Sequence[Extent], along: str, system: str) -> tuple[Length, Step]:
    """Return the length of joint to seal, and its working."""
    corners = total_corners(extents)
    perimeter = total_perimeter(extents)
    metres = {"corners": corners, "perimeter": perimeter}.get(
        along, corners + perimeter
    )
    return metres, Step(
        label="Joint length",
        formula=(
            f"changes of plane {run_text(corners, system)}, each once, "
            f"and edges {run_text(perimeter, system)}"
        ),
        result=run_text(metres, system),
    )


KIND = Kind(
    key="sealant",
    label="Sealant",
    sold_as="tube",
    unit="ml",
    parameters=(
        Parameter(name="joint", label="Joint width", type="length", required=False),
        Parameter(name="depth", label="Joint depth", type="length", required=False),
        Parameter(name="loss", label="Loss", type="rate", default="10 %"),
        Parameter(name="colour", label="Colour", type="text", required=False),
    ),
    need=need,
    source=GEOMETRY,
)
