"""The drawing behind a need: the trimmed pan, the sheets and how they are cut."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from django.utils.translation import gettext as _

from materials.core.cutting.pan_records import PanPiece, Way
from materials.core.drawing.pan import Drain, Fall, Height, PanDrawing, draw_pan
from materials.core.drawing.records import Frame
from materials.core.drawing.style import SCREEN, Style
from materials.core.plans.records import MaterialPlan
from materials.presenters import money_words, percent_words
from quotes.presenters.cut_drawings import stock_svg


def plan_svgs(
    plan: object | None,
    *,
    system: str,
    name: str,
    style: Style = SCREEN,
) -> tuple[str, ...]:
    """Return the drawings of a need's plan: one each where it has several, or none.

    The pans of a floor are one drawing, of the first of them.
    """
    parts = plan if isinstance(plan, tuple) else (plan,)
    ways = ways_of(plan)
    cut = [part for part in parts if isinstance(part, MaterialPlan)]
    found = [
        plan_svg(part, system=system, name=f"{name}-{at}", style=style)
        for at, part in enumerate([ways, *cut])
    ]
    return tuple(filter(None, found))


def ways_of(plan: object | None) -> tuple[Way, ...]:
    """Return the ways sloped floors are made, of a need's plan."""
    parts = plan if isinstance(plan, tuple) else (plan,)
    return tuple(part for part in parts if isinstance(part, Way))


def plan_svg(
    plan: object | None,
    *,
    system: str,
    name: str,
    style: Style = SCREEN,
) -> str:
    """Return the drawing of one plan, or nothing where there is none."""
    safe = "".join(letter if letter.isalnum() else "-" for letter in name)
    width = 340 if style.printed else 358
    frame = Frame(style=style, system=system, width=width, height=420)
    if isinstance(plan, tuple) and plan and isinstance(plan[0], Way):
        pieces = [piece for way in dict.fromkeys(plan) for piece in way.pieces]
        if pieces:
            return draw_pan(pan_drawing(plan[0], pieces[0], safe, system), frame)
    if isinstance(plan, MaterialPlan):
        return stock_svg(plan, frame, name=safe)
    return ""


def pan_drawing(
    way: Way, piece: PanPiece, name: str, system: str, *, with_money: bool = True
) -> PanDrawing:
    """Return a pan as it is trimmed; setters' papers leave its money out."""
    pan = piece.pan
    kept = [(int(x), int(y)) for x, y in piece.keep_on_pan[0]]
    sentence = _(
        "%(name)s, %(width)s by %(depth)s: the heavy line is cut, the hatched strips "
        "come off, %(share)s of the pan"
    ) % {
        "name": pan.name,
        "width": pan.width.text(system),
        "depth": pan.depth.text(system),
        "share": percent_words(piece.trimmed_share, places=2),
    }
    if with_money:
        sentence += _(", %(money)s of its price") % {
            "money": money_words(piece.trimmed_money)
        }
    sentence += "."
    return PanDrawing(
        name=name,
        sentence=sentence,
        width=pan.width,
        depth=pan.depth,
        kept=tuple(kept),
        drain=_drain(piece),
        falls=_falls(way, piece, kept),
        heights=_heights(way, piece, kept),
    )


def _drain(piece: PanPiece) -> Drain | None:
    pan = piece.pan
    if pan.drain_at is not None:
        return Drain(at=(pan.drain_at[0].ticks, pan.drain_at[1].ticks))
    along = [int(x) for x, _y in piece.keep_on_pan[0]]
    # In the middle of the flat strip, which the drain's flange lies on.
    low = min(int(y) for _x, y in piece.keep_on_pan[0]) + pan.strip.ticks // 2
    return Drain(at=(min(along), low), end=(max(along), low))


def _falls(
    way: Way, piece: PanPiece, kept: Sequence[tuple[int, int]]
) -> tuple[Fall, ...]:
    """Return one arrow down the plane of a linear pan, with its ratio."""
    if piece.pan.drain_at is not None or not way.slope:
        return ()
    middle = sum(x for x, _y in kept) // len(kept)
    low, high = min(y for _x, y in kept), max(y for _x, y in kept)
    span = high - low
    ratio = Fraction(1) / way.slope
    return (
        Fall(
            start=(middle, high - span // 5),
            low=(middle, low + span // 4),
            word=f"1 : {int(ratio + Fraction(1, 2))}",
        ),
    )


def _heights(
    way: Way, piece: PanPiece, kept: Sequence[tuple[int, int]]
) -> tuple[Height, ...]:
    """Return the floor's heights at the kept corners, in the pan's own frame."""
    there = [(int(x), int(y)) for x, y in piece.keep[0]]
    found = []
    for height in way.heights:
        at = (int(height.at[0]), int(height.at[1]))
        length = height.length
        if height.where == "corner" and length is not None and at in there:
            found.append(Height(at=kept[there.index(at)], height=length))
    return tuple(found)
