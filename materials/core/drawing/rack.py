"""Pieces on the rack, lying on their longer side, shelf upon shelf, to one scale."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from materials.core.drawing.lettering import width_of, words
from materials.core.drawing.pen import SPARE, Ring, Sheet
from materials.core.drawing.records import Frame, Place
from materials.core.drawing.symbols import Scale, draw_scale_bar
from materials.core.errors import BadShape

GAP = 14_00
LETTER = 9_30
"""How high the small letters stand."""
HEAD = 18_00
"""Over a shelf, for the words of its pieces."""
FOOT = 30_00
THINNEST = 3_00
"""A trim seen from afar is still drawn so high."""


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptPiece:
    """A piece by its outline from its lower left, and its word."""

    outline: tuple[Place, ...]
    word: str


def draw_rack(
    pieces: Sequence[KeptPiece], frame: Frame, *, name: str, sentence: str
) -> str:
    """Return the pieces drawn to one scale, in their order, as SVG text.

    Method: each lies on its longer side; a shelf takes pieces while there is width.
    Raises: BadShape for no piece, or one without size.
    """
    if not pieces:
        raise BadShape("The rack is drawn from one piece or more.")
    lying = [_lying(piece.outline) for piece in pieces]
    sizes = [_size(outline) for outline in lying]
    if any(min(size) <= 0 for size in sizes):
        raise BadShape("A piece on the rack has a width and a height.")
    room = frame.width * 100 - 4_00
    scale = Scale(
        numerator=room, denominator=max(wide for wide, _ in sizes), origin=(0, 0)
    )
    needed = [width_of(words(piece.word), LETTER) for piece in pieces]
    shelves = _shelved(
        [
            (max(scale.px(wide), word), scale.px(high))
            for (wide, high), word in zip(sizes, needed, strict=True)
        ],
        room,
    )
    height = sum(HEAD + tall for tall, _ in shelves) + FOOT
    drawn = Sheet(
        name=name,
        size=(frame.width * 100, height),
        sentence=sentence,
        style=frame.style,
    )
    foot = 0
    for tall, placed in shelves:
        foot += HEAD + tall
        for number, left in placed:
            ring = replace(scale, origin=(2_00 + left, foot)).ring(lying[number])
            _draw_piece(drawn, ring, pieces[number].word)
    bar = 2_00 + room // 2, height - 14_00
    draw_scale_bar(drawn, scale, bar, frame.system, room // 2)
    return drawn.svg()


def _draw_piece(drawn: Sheet, ring: Ring, word: str) -> None:
    drawn.polygon(ring, "of")
    drawn.hatch(SPARE, [ring])
    drawn.polygon(ring, "o")
    at = min(x for x, _ in ring), min(y for _, y in ring) - 5_00
    drawn.text(at, words(word), "t2", anchor="start")


def _shelved(
    sizes: Sequence[tuple[int, int]], room: int
) -> list[tuple[int, list[tuple[int, int]]]]:
    """Return shelves as their height and the pieces on them: number and left edge."""
    shelves: list[tuple[int, list[tuple[int, int]]]] = []
    used = 0
    for number, (wide, high) in enumerate(sizes):
        high = max(high, THINNEST)
        if not shelves or used + wide > room:
            shelves.append((high, [(number, 0)]))
            used = wide + GAP
            continue
        tall, placed = shelves[-1]
        shelves[-1] = max(tall, high), [*placed, (number, used)]
        used += wide + GAP
    return shelves


def _lying(outline: Sequence[Place]) -> tuple[Place, ...]:
    """Return an outline on its longer side, from its lower left corner."""
    wide, high = _size(outline)
    left, low = min(x for x, _ in outline), min(y for _, y in outline)
    moved = [(x - left, y - low) for x, y in outline]
    if wide >= high:
        return tuple(moved)
    return tuple((high - y, x) for x, y in moved)


def _size(outline: Sequence[Place]) -> tuple[int, int]:
    xs, ys = [x for x, _ in outline], [y for _, y in outline]
    return max(xs) - min(xs), max(ys) - min(ys)
