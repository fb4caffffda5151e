"""The cut list of a visit: what is cut from what, in order, and where it goes.

Setters read it on the phone and on paper; there is no price on it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from django.utils.translation import gettext as _

from materials.core.cutting.pan_records import PanPiece, Way
from materials.core.cutting.records import CutSheet, Placed
from materials.core.drawing.pan import draw_pan
from materials.core.drawing.records import Frame
from materials.core.drawing.style import SCREEN, Style
from materials.core.errors import Refusal
from materials.core.lengths import Length
from materials.core.need import MaterialFacts, Need
from materials.core.plans.records import (
    ROLL,
    SHEET,
    CutLine,
    MaterialPlan,
    cut_lines,
    plans_of,
)
from quotes.core.board_problems import board_plans
from quotes.core.takeoff import take_off
from quotes.core.visit import Visit as VisitRecord
from quotes.presenters.cut_drawings import (
    letter_of,
    stock_svg,
    stock_words,
    surface_panels_svg,
)
from quotes.presenters.niches import niche_sentences
from quotes.presenters.plans import pan_drawing, ways_of
from quotes.presenters.racked import RackNotes, notes_for, plan_notes
from quotes.presenters.set_outs import TileSheet, tile_sheets
from quotes.presenters.stairs import StairsTable, stairs_tables


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceRow:
    """A piece to cut: its number, its size, where it goes."""

    number: int
    size: str
    place: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StockRow:
    """A sheet, roll or length: drawn, its pieces, its cuts in order."""

    name: str
    svg: str
    pieces: tuple[PieceRow, ...]
    cuts: tuple[tuple[str, str], ...]
    """Letter and words of each cut."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WallRow:
    """A surface with its numbered pieces."""

    name: str
    svg: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CutMaterial:
    """One material's part of the cut list."""

    name: str
    form: str
    verdict: str
    seen: str
    stock: tuple[StockRow, ...]
    walls: tuple[WallRow, ...]
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class CutListSheet:
    """The whole cut list, or the sentence that says why there is none."""

    materials: tuple[CutMaterial, ...] = ()
    tiles: tuple[TileSheet, ...] = ()
    stairs: tuple[StairsTable, ...] = ()
    niches: tuple[str, ...] = ()
    refused: str = ""
    boards: tuple[MaterialPlan, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class _Look:
    """How the list is written: measures, style, and what is known of the rack."""

    system: str
    style: Style
    notes: RackNotes


def cut_list_sheet(
    visit: VisitRecord,
    catalogue: Mapping[str, MaterialFacts],
    *,
    style: Style = SCREEN,
    job: str = "",
) -> CutListSheet:
    """Return the cut list of a visit, or of a job; a refusal becomes its sentence."""
    try:
        takeoff = take_off(visit, catalogue)
    except Refusal as refusal:
        return CutListSheet(refused=refusal.sentence)
    notes = notes_for(takeoff.needs, job)
    look = _Look(system=visit.system, style=style, notes=notes)
    return CutListSheet(
        materials=tuple(
            part
            for at, need in enumerate(takeoff.needs)
            for part in _parts(need, catalogue[need.material], look, f"n{at}")
        ),
        niches=niche_sentences(visit, takeoff, catalogue),
        stairs=stairs_tables(takeoff.stairs, visit.system),
        tiles=tile_sheets(takeoff, catalogue, system=visit.system, style=style),
        boards=board_plans(takeoff.needs),
    )


def pan_ways(need: Need) -> tuple[Way, ...]:
    """Return the ways a sloped floor is made, each once, where pans are trimmed."""
    return tuple(way for way in dict.fromkeys(ways_of(need.plan)) if way.pieces)


def _pan(need: Need, material: MaterialFacts, system: str, style: Style) -> CutMaterial:
    """Return the pans of a floor with the lines they are trimmed along."""
    frame = Frame(
        style=style, system=system, width=300 if style.printed else 358, height=420
    )
    stock: list[StockRow] = []
    for way in pan_ways(need):
        for piece in way.pieces:
            at = len(stock)
            drawing = pan_drawing(way, piece, f"pan-{at}", system, with_money=False)
            cuts = enumerate(_trims(piece, system), start=1)
            stock.append(
                StockRow(
                    name=_("Pan %(number)d, %(size)s")
                    % {
                        "number": at + 1,
                        "size": f"{piece.pan.width.text(system)} × "
                        f"{piece.pan.depth.text(system)}",
                    },
                    svg=draw_pan(drawing, frame),
                    pieces=(),
                    cuts=tuple((letter_of(number), words) for number, words in cuts),
                )
            )
    return CutMaterial(
        name=material.name,
        form="pan",
        verdict="",
        seen=_("Seen from above; the heavy line is cut, what is hatched comes off."),
        stock=tuple(stock),
        walls=(),
        notes=need.cautions,
    )


def _trims(piece: PanPiece, system: str) -> list[str]:
    """Return what comes off each side of a pan, in words."""
    kept = piece.keep_on_pan[0]
    across, up = [int(x) for x, _y in kept], [int(y) for _x, y in kept]
    off = {
        _("%(size)s off the left side"): min(across),
        _("%(size)s off the right side"): piece.pan.width.ticks - max(across),
        _("%(size)s off the drain's side"): min(up),
        _("%(size)s off the far side"): piece.pan.depth.ticks - max(up),
    }
    words = [
        side % {"size": Length(ticks).text(system)}
        for side, ticks in off.items()
        if ticks
    ]
    if len(kept) > 4:
        words.append(_("then along the heavy line inside"))
    return words


def _parts(
    need: Need, material: MaterialFacts, look: _Look, name: str
) -> list[CutMaterial]:
    """Return the parts of the list a need makes: its pans, then each of its plans.

    Layers of one material with other settings are planned apart; their places tell
    them apart then.
    """
    parts = []
    if pan_ways(need):
        parts.append(_pan(need, material, look.system, look.style))
    plans = plans_of(need)
    for at, plan in enumerate(plans):
        part = _material(plan, material, look, f"{name}-{at}")
        if len(plans) > 1:
            places = ", ".join(dict.fromkeys(plan.places.values()))
            part = replace(part, name=f"{part.name}: {places}")
        if not parts:
            part = replace(part, notes=(*need.cautions, *part.notes))
        parts.append(part)
    return parts


def _material(
    plan: MaterialPlan, material: MaterialFacts, look: _Look, safe: str
) -> CutMaterial:
    system, style = look.system, look.style
    wide = 480 if style.printed else 358
    frame = Frame(style=style, system=system, width=wide, height=420)
    small = Frame(
        style=style, system=system, width=230 if style.printed else 358, height=300
    )
    return CutMaterial(
        name=material.name,
        form=plan.form,
        verdict=plan.verdict,
        seen=_seen(plan),
        stock=tuple(
            StockRow(
                name=_stock_name(plan, at, system),
                svg=stock_svg(
                    plan,
                    small if plan.form == SHEET else frame,
                    name=f"{safe}-s{at}",
                    only=at,
                ),
                pieces=_pieces(plan, sheet, system),
                cuts=_cuts(plan, sheet, system),
            )
            for at, sheet in enumerate(plan.cut.sheets)
        ),
        walls=tuple(
            WallRow(
                name=surface.place,
                svg=surface_panels_svg(surface, small, name=f"{safe}-w{at}"),
            )
            for at, surface in enumerate(plan.surfaces)
        ),
        notes=plan_notes(plan, look.notes),
    )


def _stock_name(plan: MaterialPlan, at: int, system: str) -> str:
    """Return what a piece of stock is called: new ones by size, kept ones by place."""
    size = plan.size_of(plan.cut.sheets[at])
    named = stock_words(plan, at + 1)
    if not size.is_kept:
        return f"{named}, {size.words}"
    width, height = Length(size.width).text(system), Length(size.height).text(system)
    kept = width if plan.is_line else f"{width} × {height}"
    return ", ".join(part for part in (named, kept, size.words) if part)


def _seen(plan: MaterialPlan) -> str:
    """Return from which side the stock is drawn."""
    if plan.is_line:
        return _("The letters are the order to cut in.")
    if plan.form == ROLL:
        return _(
            "Drawn from the face, unrolled to the right; the letters are the order to "
            "cut in. Lines of dash and dot are folds."
        )
    if any(plan.folds.values()):
        return _(
            "Drawn from the face; the letters are the order to cut in. Lines of dash "
            "and dot are scored on the back and folded, so that the face stays whole."
        )
    return _("Drawn from the face; the letters are the order to cut in.")


def _pieces(plan: MaterialPlan, sheet: CutSheet, system: str) -> tuple[PieceRow, ...]:
    return tuple(
        PieceRow(
            number=plan.numbers[piece.name],
            size=_size(plan, piece, system),
            place=plan.places.get(piece.name, ""),
        )
        for piece in sheet.pieces
    )


def _size(plan: MaterialPlan, piece: Placed, system: str) -> str:
    width, height = (Length(one).text(system) for one in (piece.width, piece.height))
    if plan.is_line:
        return width
    return f"{height} × {width}" if plan.form == ROLL else f"{width} × {height}"


def _cuts(
    plan: MaterialPlan, sheet: CutSheet, system: str
) -> tuple[tuple[str, str], ...]:
    return tuple(
        (letter_of(line.number), _cut_words(plan, line, system))
        for line in cut_lines(sheet, plan.size_of(sheet), plan.kerf)
    )


def _cut_words(plan: MaterialPlan, line: CutLine, system: str) -> str:
    """Return one cut as it is measured: from the edge of the part in hand."""
    x, y, wide, high = line.part
    at = Length(line.at - (x if line.axis == "x" else y)).text(system)
    part = f"{Length(wide).text(system)} × {Length(high).text(system)}"
    if plan.is_line:
        return _("at %(at)s from the end in hand") % {"at": at}
    if plan.form == ROLL and line.axis == "y":
        return _("across the roll, %(at)s from its end") % {"at": at}
    if plan.form == ROLL:
        return _("along the strip, %(at)s wide") % {"at": at}
    if line.axis == "x":
        return _("upright, %(at)s from the left of the part %(part)s") % {
            "at": at,
            "part": part,
        }
    return _("level, %(at)s from the bottom of the part %(part)s") % {
        "at": at,
        "part": part,
    }
