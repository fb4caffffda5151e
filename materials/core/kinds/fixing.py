"""Fixings: screws and washers by a grid over each board, spacing and edge distance."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from materials.core.errors import OutOfRange
from materials.core.kind import Kind, Parameter
from materials.core.lengths import INCH, NOTHING, Length
from materials.core.need import Extent, MaterialFacts, Need, Step
from materials.core.quantities import whole_units
from materials.core.sources import Source
from materials.core.working import (
    bounds_of,
    chosen_length,
    chosen_number,
    figure,
    length_in,
    places_of,
    system_of,
    total_area,
    with_loss,
)

GRID = Source(title="geometry: a grid of fixings over one board, both edges included")

SPACING = Length(8 * INCH)
"""Between fixings when neither layer nor sheet says: 8 in, as board makers print."""


def grid_count(width: Length, length: Length, spacing: Length, edge: Length) -> int:
    """Return the fixings of one board: rows and columns no farther apart than spacing.

    The outermost rows stand `edge` inside the board.

    >>> inch = Length.inch
    >>> grid_count(inch(48), inch(96), inch(8), Length(0))
    91
    """
    return _rows(width - edge * 2, spacing) * _rows(length - edge * 2, spacing)


def _rows(span: Length, spacing: Length) -> int:
    if span <= NOTHING:
        return 1
    return -(-span.ticks // spacing.ticks) + 1


def need(
    material: MaterialFacts, extents: Sequence[Extent], settings: Mapping[str, object]
) -> Need:
    """Return the fixings for the boards on the extents.

    With `sheet_width` and `sheet_length` set (the board below), one sheet's grid is
    spread over the net area; otherwise each extent is taken as one board.

    Units: each. Rounds: up, once.
    """
    system = system_of(settings)
    spacing = chosen_length("spacing", settings, material.facts, SPACING)
    edge = chosen_length("edge_spacing", settings, material.facts)
    if spacing <= NOTHING:
        raise OutOfRange("Fixings need a spacing above nothing.", field="spacing")
    net, words = _on_boards(extents, settings, spacing, edge)
    share = chosen_number("loss", settings, material.facts)
    exact, _, loss_steps = with_loss(net, share, "")
    count = whole_units(exact, Fraction(1))
    return Need(
        material=material.code,
        unit="each",
        quantity=Fraction(count),
        loss=count - net,
        working=(
            Step(
                label="Fixings",
                formula=f"{words}; {spacing.text(system)} apart",
                result=figure(net, places=1),
                source=GRID,
            ),
            *loss_steps,
        ),
        bound="By net area: cut boards take a few more along their edges.",
        places=places_of(extents),
    )


def _on_boards(
    extents: Sequence[Extent],
    settings: Mapping[str, object],
    spacing: Length,
    edge: Length,
) -> tuple[Fraction, str]:
    """Return the fixings without loss, and how they were counted."""
    system = system_of(settings)
    width = length_in(settings, "sheet_width")
    length = length_in(settings, "sheet_length")
    if width and length:
        per_sheet = grid_count(width, length, spacing, edge)
        sheets = total_area(extents) / width.by(length)
        return per_sheet * sheets, (
            f"{per_sheet} a board of {width.text(system)} × {length.text(system)}, "
            f"{figure(sheets, 'boards', places=2)} of net area"
        )
    total = sum(
        grid_count(*bounds_of(extent.outline), spacing, edge) * extent.times
        for extent in extents
    )
    return Fraction(total), "each surface taken as one board"


KIND = Kind(
    key="fixing",
    label="Fixing",
    sold_as="box",
    unit="each",
    parameters=(
        Parameter(name="spacing", label="Spacing", type="length", required=False),
        Parameter(
            name="edge_spacing", label="From the edge", type="length", required=False
        ),
        Parameter(name="loss", label="Loss", type="rate", default="5 %"),
        Parameter(name="length", label="Length", type="length", required=False),
    ),
    need=need,
    source=GRID,
)
