"""Moves as cut trees: parting rooms, leaving out pieces that are not needed.

A move with the sort -1 puts no piece down: it only parts its room in two, at a
distance that stands in the place of the way.
"""

from __future__ import annotations

from materials.core.cutting.greedy import Move
from materials.core.cutting.problem import Problem


def without_extra(
    moves: tuple[Move, ...], need: list[int], problem: Problem, sheet: int
) -> tuple[Move, ...]:
    """Return a pattern's moves with only pieces still needed, for a numbered sheet.

    Shape: `need` is counted down. Empty when no piece of the pattern is needed.
    """
    kept: list[Move] = []
    pieces = 0
    for sort, way, upright, x, y, width, height, _sheet in moves:
        room = (x, y, width, height)
        if sort < 0:
            kept.append((sort, way, upright, *room, sheet))
        elif need[sort]:
            need[sort] -= 1
            pieces += 1
            kept.append((sort, way, upright, *room, sheet))
        else:
            turn = problem.sorts[sort].ways[way]
            kept += _emptied(turn[0], turn[1], upright, (*room, sheet))
    return tuple(kept) if pieces else ()


def _emptied(
    wide: int, high: int, upright: bool, room: tuple[int, int, int, int, int]
) -> list[Move]:
    """Return the cuts around a piece without the piece."""
    x, y, width, height, sheet = room
    moves: list[Move] = []
    for axis in (upright, not upright):
        if axis and width > wide:
            moves.append((-1, wide, True, x, y, width, height, sheet))
            width = wide
        elif not axis and height > high:
            moves.append((-1, high, False, x, y, width, height, sheet))
            height = high
    return moves
