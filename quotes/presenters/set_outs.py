"""The set-outs of a visit: drawn, with the cut list and the ledger of each tile."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import lru_cache

from django.utils.translation import gettext as _

from materials.core.drawing.records import Frame
from materials.core.drawing.setout import SetOutDrawing, draw_set_out
from materials.core.drawing.style import SCREEN, Style
from materials.core.lengths import INCH, Length
from materials.core.need import MaterialFacts, Need
from materials.core.quantities import decimal_text, fixed_text
from quotes.core.layout.drawing import (
    SLIVER,
    is_sliver,
    set_out_drawings,
    tile_numbers,
)
from quotes.core.layout.orders import ASSUMED, Ordering, OrderLine
from quotes.core.layout.records import Rules, Tally
from quotes.core.layout.reuse import cut_plan
from quotes.core.layout.sheet_lines import sheet_lines
from quotes.core.takeoff import Takeoff
from quotes.core.tile_counts import TilePlan
from quotes.core.tile_orders import ledger_of, pooled

RATIOS = {"metric": (5, 10, 20, 25, 50, 100), "imperial": (8, 12, 16, 24, 32, 48, 96)}
"""Named scales for paper; the imperial ones are 1½ to ⅛ inch to the foot."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CutRow:
    """Cut tiles that are alike: how many, their size, the numbers of their tiles."""

    count: int
    size: str
    numbers: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceRow:
    """One tiled part: its drawing, what it takes, its cut list."""

    place: str
    svg: str
    words: str
    origin: str
    cuts: tuple[CutRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class TileSheet:
    """One tile: every part it is set on, what is bought and how sure that is."""

    name: str
    verdict: str
    places: tuple[PlaceRow, ...]
    ledger: tuple[tuple[str, str], ...]
    bought: str
    chance: str
    lot: str


def tile_sheets(
    takeoff: Takeoff,
    catalogue: Mapping[str, MaterialFacts],
    *,
    system: str,
    style: Style = SCREEN,
    width: int = 0,
) -> tuple[TileSheet, ...]:
    """Return every tile whose set-out was counted, in the order of the needs.

    Units: `width` px is the room of one drawing; 0 for all of the page.
    """
    return tuple(
        _sheet(need, catalogue[need.material], plans, system, style, width)
        for need in takeoff.needs
        if (plans := plans_of(need))
    )


def plans_of(need: Need) -> tuple[TilePlan, ...]:
    """Return the set-outs behind a need, none where it was not counted."""
    plans = need.plan if isinstance(need.plan, tuple) else (need.plan,)
    return tuple(plan for plan in plans if isinstance(plan, TilePlan))


def _sheet(
    need: Need,
    material: MaterialFacts,
    plans: tuple[TilePlan, ...],
    system: str,
    style: Style,
    width: int,
) -> TileSheet:
    safe = "".join(letter if letter.isalnum() else "-" for letter in need.material)
    per_box = max((int(pack.content) for pack in material.packs), default=1) or 1
    ledger = ledger_of(plans, quantity=int(need.quantity), per_box=per_box)
    return TileSheet(
        name=material.name,
        verdict=verdict_words(plans),
        places=tuple(
            row
            for at, plan in enumerate(plans)
            for row in _places(plan, system, style, width, name=f"{safe}-t{at}")
        ),
        ledger=_ledger_rows(ledger, is_guessed=bool(need.bound)),
        bought=(
            _("%(boxes)d boxes of %(each)d: %(tiles)d sheets")
            if plans[0].sheets
            else _("%(boxes)d boxes of %(each)d: %(tiles)d tiles")
        )
        % {"boxes": ledger.boxes, "each": ledger.per_box, "tiles": ledger.bought},
        chance=_chance(ledger, plans[0].ordering),
        lot=_("All boxes of one lot; look at the mark on each before the first cut."),
    )


def _ledger_rows(ledger: OrderLine, *, is_guessed: bool) -> tuple[tuple[str, str], ...]:
    rows = (
        (_("Whole"), ledger.full),
        (_("Cut"), ledger.cuts),
        (_("Cut from an offcut"), -ledger.reused),
        (_("For breakage"), ledger.broken),
        (
            _("Spare, and what is not set out yet") if is_guessed else _("Spare"),
            ledger.spare,
        ),
        (_("To fill the last box"), ledger.rounding),
    )
    return tuple((word, str(count).replace("-", "−")) for word, count in rows)


def _chance(ledger: OrderLine, ordering: Ordering) -> str:
    """Return how likely the boxes are too few, and under which habits that holds."""
    habits = ordering.habits
    said = _(
        "The chance of running short is %(share)s %%, if of eight tiles that offcuts "
        "can save %(saved)d are saved, and %(cut)s %% of cut and %(whole)s %% of whole "
        "tiles break."
    ) % {
        "share": fixed_text(ledger.short_chance * 100, places=1),
        "saved": habits.saved,
        "cut": decimal_text(habits.broken_a_cut * 100, places=2),
        "whole": decimal_text(habits.broken_a_whole * 100, places=2),
    }
    if habits == ASSUMED.habits:
        said += " " + _("That is an assumption until your own jobs say otherwise.")
    return said


def verdict_words(plans: tuple[TilePlan, ...]) -> str:
    """Return what is known of the fewest tiles, as a sentence."""
    item = pooled(plans)
    word = _("sheets") if plans[0].sheets else _("tiles")
    least = sum(_least(plan) * plan.times[0] for plan in plans)
    least = max(least, item.area_bound)
    if least >= item.strict:
        return _(
            "%(tiles)d %(word)s if every offcut is used; %(fewer)d cannot be enough."
        ) % {
            "tiles": item.strict,
            "word": word,
            "fewer": item.strict - 1,
        }
    return _(
        "%(tiles)d %(word)s if every offcut is used; fewer than %(least)d cannot be "
        "enough, between the two nothing is proven."
    ) % {"tiles": item.strict, "word": word, "least": least}


def _least(plan: TilePlan) -> int:
    """Return what a set-out cannot go below; of a mosaic its sheets by area."""
    if plan.sheets or plan.by_piece:
        return plan.figures.lower_bound
    return _proven(plan.tallies, plan.rules)


@lru_cache(maxsize=64)
def _proven(tallies: tuple[Tally, ...], rules: Rules) -> int:
    """Return the proven least of a set-out's tiles; kept, a page asks again."""
    return cut_plan(tallies, rules).lower_bound


def _places(
    plan: TilePlan, system: str, style: Style, width: int, *, name: str
) -> tuple[PlaceRow, ...]:
    drawn = set_out_drawings(plan.tallies, plan.plan)
    numbers = tile_numbers(plan.plan)
    rows = []
    for at, (tally, drawing) in enumerate(zip(plan.tallies, drawn, strict=True)):
        named = replace(drawing.surface, name=f"{name}-{at}")
        drawing = replace(drawing, surface=named)
        if plan.sheet is not None:
            drawing = replace(drawing, sheets=sheet_lines(tally, plan.sheet))
        times = plan.times[at]
        rows.append(
            PlaceRow(
                place=f"{plan.places[at]} × {times}" if times > 1 else plan.places[at],
                svg=drawn_set_out(drawing, system=system, style=style, width=width),
                words=_words(plan, tally, system),
                origin=_origin(drawing, system),
                cuts=_cut_rows(tally, at, numbers, system),
            )
        )
    return tuple(rows)


def drawn_set_out(
    drawing: SetOutDrawing, *, system: str, style: Style = SCREEN, width: int = 0
) -> str:
    """Return a set-out as SVG; on paper at the largest named scale that fits."""
    frame = Frame(
        style=style,
        system=system,
        width=width or (660 if style.printed else 358),
        height=width or (600 if style.printed else 420),
    )
    if not style.printed:
        return draw_set_out(drawing, frame)
    across = [x for x, _y in drawing.surface.outline]
    up = [y for _x, y in drawing.surface.outline]
    wide, high = max(across) - min(across), max(up) - min(up)
    for ratio in RATIOS[system]:
        # 96 px are an inch; a good hundred stay for dimensions.
        reach = INCH * ratio, 96
        if wide * reach[1] <= (frame.width - 120) * reach[0] and (
            high * reach[1] <= (frame.height - 120) * reach[0]
        ):
            scaled = replace(
                drawing.surface, note=_("Scale 1 : %(ratio)d") % {"ratio": ratio}
            )
            note = drawing.surface.note
            scaled = replace(scaled, note=f"{scaled.note}. {note}".rstrip(". "))
            return draw_set_out(
                replace(drawing, surface=scaled), replace(frame, ratio=ratio)
            )
    return draw_set_out(drawing, frame)


def _words(plan: TilePlan, tally: Tally, system: str) -> str:
    """Return pattern, smallest cut and what the pattern can keep, in sentences."""
    said = [
        _("%(pattern)s, %(full)d whole and %(cut)d cut.")
        % {"pattern": plan.pattern, "full": tally.full_count, "cut": tally.cut_count}
    ]
    if tally.smallest_cut is not None:
        said.append(
            _("Smallest cut %(size)s.")
            % {"size": Length(tally.smallest_cut).text(system)}
        )
    if plan.attainable is not None:
        said.append(
            _("On any wall this pattern can keep 1/%(part)d of a tile as smallest cut.")
            % {"part": int(1 / plan.attainable)}
        )
    slivers = sum(
        piece.count
        for piece in tally.pieces
        if is_sliver(piece, tally.lattice.items[piece.item])
    )
    if slivers:
        said.append(
            _("%(count)d cuts are narrower than %(size)s and ringed (shop practice).")
            % {"count": slivers, "size": SLIVER.text(system)}
        )
    return " ".join(said)


def _origin(drawing: SetOutDrawing, system: str) -> str:
    sizes = {size.side: size.length.text(system) for size in drawing.sizes}
    if len(sizes) != 2:
        return ""
    return _("Chalk lines: %(across)s from the left side, %(up)s from the bottom.") % {
        "across": sizes["bottom"],
        "up": sizes["left"],
    }


def _cut_rows(
    tally: Tally,
    surface: int,
    numbers: Mapping[tuple[int, int, int], tuple[str, int | None]],
    system: str,
) -> tuple[CutRow, ...]:
    """Return cut pieces by printed size, largest first, with their tiles' numbers."""
    found: dict[str, tuple[int, list[int]]] = {}
    order = sorted(
        range(len(tally.pieces)), key=lambda index: -tally.pieces[index].area
    )
    for index in order:
        piece = tally.pieces[index]
        size = (
            f"{Length(piece.width).text(system)} × {Length(piece.height).text(system)}"
        )
        if len(piece.outline) != 4:
            size = _("%(size)s, notched or slanting") % {"size": size}
        count, own = found.get(size, (0, []))
        for row in range(piece.count):
            number = numbers[surface, index, row][1]
            own += [number] if number is not None else []
        found[size] = (count + piece.count, own)
    return tuple(
        CutRow(count=count, size=size, numbers=", ".join(map(str, sorted(set(own)))))
        for size, (count, own) in found.items()
    )
