"""Profiles and trims: lengths along exposed edges, cut from stock by first fit."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from materials.core.kind import Kind, Parameter
from materials.core.lengths import NOTHING, Length
from materials.core.need import Extent, MaterialFacts, Need, Step
from materials.core.sources import Source
from materials.core.working import (
    chosen_length,
    length_in,
    places_of,
    run_text,
    system_of,
)

FIRST_FIT = Source(title="count: first fit of the longest pieces first")


def first_fit_lengths(pieces: Sequence[Length], stock: Length, kerf: Length) -> int:
    """Return how many stock lengths the pieces are cut from, longest first.

    A piece longer than the stock is joined: it takes whole lengths and its rest is
    cut like any other piece.

    Method: first fit decreasing, a heuristic: never less than the best cutting, and
    at most 11/9 of it and one more. Running time pieces × lengths.
    """
    whole = 0
    rest: list[int] = []
    for piece in pieces:
        full, left = divmod(piece.ticks, stock.ticks)
        whole += full
        if left:
            rest.append(left)
    room: list[int] = []
    for piece_ticks in sorted(rest, reverse=True):
        for index, left in enumerate(room):
            if piece_ticks <= left:
                room[index] = left - piece_ticks - kerf.ticks
                break
        else:
            room.append(stock.ticks - piece_ticks - kerf.ticks)
    return whole + len(room)


def edge_pieces(extent: Extent, along: str) -> list[Length]:
    """Return the lengths of profile one repeat of an extent takes.

    `along` is "exposed" (exposed edges and trimmed openings), "perimeter" (edges
    against walls), "corners" (outside corners), "openings" or "all".
    """
    pieces: list[Length] = []
    if along in ("exposed", "all"):
        pieces += [edge.length for edge in extent.edges if edge.kind == "exposed"]
    if along in ("exposed", "openings", "all"):
        pieces += list(extent.reveals)
    if along == "perimeter":
        pieces += [edge.length for edge in extent.edges if edge.kind == "wall"]
    if along in ("corners", "all") and extent.outside_corners:
        pieces.append(extent.outside_corners)
    return [piece for piece in pieces if piece > NOTHING]


def need(
    material: MaterialFacts, extents: Sequence[Extent], settings: Mapping[str, object]
) -> Need:
    """Return how many stock lengths the exposed edges of the extents take.

    Units: each, of the stock length on the sheet. `lap` adds to each piece, for
    mitres. The figure is first fit, and says how far above the least it can be.
    """
    system = system_of(settings)
    along = str(settings.get("along", "exposed"))
    stock = length_in(material.facts, "length")
    kerf = chosen_length("kerf", settings, material.facts)
    extra = chosen_length("lap", settings, {})
    pieces = [
        piece + extra
        for extent in extents
        for piece in edge_pieces(extent, along) * extent.times
    ]
    metres = sum(pieces, start=NOTHING)
    count = first_fit_lengths(pieces, stock, kerf)
    least = -(-metres.ticks // stock.ticks)
    bound = ""
    if count > least:
        bound = (
            f"First fit gives {count} lengths; {least} is the least the total allows."
        )
    return Need(
        material=material.code,
        unit="each",
        quantity=Fraction(count),
        loss=Fraction(0),
        working=_working(pieces, metres, stock, count, system),
        bound=bound,
        places=places_of(extents),
    )


def _working(
    pieces: Sequence[Length], metres: Length, stock: Length, count: int, system: str
) -> tuple[Step, ...]:
    return (
        Step(
            label="Edges",
            formula=" + ".join(piece.text(system) for piece in pieces) or "none",
            result=run_text(metres, system),
        ),
        Step(
            label="Stock lengths",
            formula=f"{len(pieces)} pieces from {stock.text(system)}, longest first",
            result=f"{count}",
            source=FIRST_FIT,
        ),
    )


KIND = Kind(
    key="profile",
    label="Profile",
    sold_as="length",
    unit="each",
    parameters=(
        Parameter(name="length", label="Stock length", type="length"),
        Parameter(name="height", label="Height", type="length", required=False),
        Parameter(name="kerf", label="Saw cut", type="length", required=False),
        Parameter(name="finish", label="Finish", type="text", required=False),
    ),
    need=need,
    source=FIRST_FIT,
)
