"""Profiles and trims: lengths along exposed edges, cut from whole stock lengths."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from materials.core.kind import Kind, Lot, Parameter
from materials.core.lengths import NOTHING, Length
from materials.core.need import Extent, MaterialFacts, Need, Step
from materials.core.plans.edges import EdgePiece, planned_lengths
from materials.core.plans.racked import rack_steps
from materials.core.plans.records import MaterialPlan
from materials.core.sources import Source
from materials.core.working import (
    chosen_length,
    count_text,
    length_in,
    places_of,
    run_text,
    system_of,
)

FIRST_FIT = Source(title="count: first fit of the longest pieces first")
CUT_PLAN = Source(title="cut plan: pieces from whole lengths, with a proven bound")


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
    """Return how many stock lengths the exposed edges of one layer's extents take."""
    return pooled(material, [Lot(extents=tuple(extents), settings=settings)])


def pooled(material: MaterialFacts, lots: Sequence[Lot]) -> Need:
    """Return how many stock lengths all layers of a profile take, cut together.

    Units: each, of the stock length on the sheet. `lap` adds to each piece of its
    layer, for mitres. Beyond 400 pieces the figure is first fit, and says so.
    """
    first = lots[0].settings
    system = system_of(first)
    stock = length_in(material.facts, "length")
    kerf = chosen_length("kerf", first, material.facts)
    pieces = [piece for lot in lots for piece in _pieces_of(lot)]
    plan = planned_lengths(
        pieces,
        stock=stock.ticks,
        kerf=kerf.ticks,
        words=f"{material.name}, {stock.text(system)}",
        rack=material.rack,
    )
    lengths = [Length(piece.length) for piece in pieces]
    metres = sum(lengths, start=NOTHING)
    count = first_fit_lengths(lengths, stock, kerf) if plan is None else plan.new
    least = -(-metres.ticks // stock.ticks)
    return Need(
        material=material.code,
        unit="each",
        quantity=Fraction(count),
        loss=Fraction(0),
        working=(
            *_edge_steps(lengths, metres, system),
            *_count_steps(plan, len(lengths), count, stock.text(system)),
        ),
        bound=_bound(plan, count, least),
        places=places_of([extent for lot in lots for extent in lot.extents]),
        plan=plan,
    )


def _pieces_of(lot: Lot) -> list[EdgePiece]:
    along = str(lot.settings.get("along", "exposed"))
    extra = chosen_length("lap", lot.settings, {})
    return [
        EdgePiece(place=extent.place, length=(piece + extra).ticks)
        for extent in lot.extents
        for piece in edge_pieces(extent, along) * extent.times
    ]


def _bound(plan: MaterialPlan | None, count: int, least: int) -> str:
    if plan is not None:
        return "" if plan.cut.proven else plan.verdict
    if count <= least:
        return ""
    return f"First fit gives {count} lengths; {least} is the least the total allows."


def _edge_steps(
    pieces: Sequence[Length], metres: Length, system: str
) -> tuple[Step, ...]:
    return (
        Step(
            label="Edges",
            formula=" + ".join(piece.text(system) for piece in pieces) or "none",
            result=run_text(metres, system),
        ),
    )


def _count_steps(
    plan: MaterialPlan | None, pieces: int, count: int, stock: str
) -> tuple[Step, ...]:
    if plan is None:
        first_fit = Step(
            label="Stock lengths",
            formula=f"{count_text(pieces, 'piece')} from {stock}, longest first",
            result=f"{count}",
            source=FIRST_FIT,
        )
        return (first_fit,)
    planned = Step(
        label="Cut plan",
        formula=f"{count_text(pieces, 'piece')} from {stock}",
        result=plan.verdict,
        source=CUT_PLAN,
    )
    return (planned, *rack_steps(plan))


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
    pool=pooled,
    source=CUT_PLAN,
)
