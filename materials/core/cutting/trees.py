"""Moves as cut trees: parting rooms, leaving out pieces that are not needed.

A move with the sort -1 puts no piece down: it only parts its room in two, at a
distance that stands in the place of the way.
"""

from __future__ import annotations

from materials.core.cutting.greedy import Free, Move
from materials.core.cutting.problem import Problem, Way


def without_extra(
    moves: tuple[Move, ...], need: list[int], problem: Problem, sheet: int
) -> tuple[Move, ...]:
    """Return a pattern's moves with only pieces still needed, for a numbered sheet.

    Shape: `need` is counted down. Empty when no piece of the pattern is needed.
    """
    kept: list[Move] = []
    pieces = 0
    for sort, way, upright, x, y, width, height, _sheet in moves:
        move = (sort, way, upright, x, y, width, height, sheet)
        if sort < 0:
            kept.append(move)
        elif need[sort]:
            need[sort] -= 1
            pieces += 1
            kept.append(move)
        else:
            kept += emptied(move, problem.sorts[sort].ways[way], problem.dust)[0]
    return tuple(without_empty(kept)) if pieces else ()


def emptied(move: Move, turn: Way, dust: int) -> tuple[list[Move], Free]:
    """Return the cuts around a piece without the piece, and its bed, which is left.

    Where only dust lay beside the piece nothing is cut, and the bed has it.
    """
    _sort, _way, upright, x, y, width, height, sheet = move
    moves: list[Move] = []
    for axis in (upright, not upright):
        if axis and width > turn[0] + dust:
            moves.append((-1, turn[0], True, x, y, width, height, sheet))
            width = turn[0]
        elif not axis and height > turn[1] + dust:
            moves.append((-1, turn[1], False, x, y, width, height, sheet))
            height = turn[1]
    return moves, (width, height, x, y, sheet)


def cleared(
    room: Free, order: list[int], kept: list[Move], free: list[Free]
) -> list[Move]:
    """Empty a room into `order` and `free`; return the moves elsewhere."""
    width, height, x, y, sheet = room
    right, top = x + width, y + height
    others = []
    for move in kept:
        if (
            move[7] == sheet
            and move[3] >= x
            and move[4] >= y
            and move[3] + move[5] <= right
            and move[4] + move[6] <= top
        ):
            if move[0] >= 0:
                order.append(move[0])
        else:
            others.append(move)
    free[:] = [
        row
        for row in free
        if row[4] != sheet
        or row[2] < x
        or row[3] < y
        or row[2] + row[0] > right
        or row[3] + row[1] > top
    ]
    free.append(room)
    return others


def without_empty(moves: list[Move]) -> list[Move]:
    """Return one sheet's moves without the cuts that part a room without a piece."""
    pieces = [move for move in moves if move[0] >= 0]
    return [
        move
        for move in moves
        if move[0] >= 0
        or any(
            move[3] <= one[3]
            and move[4] <= one[4]
            and one[3] + one[5] <= move[3] + move[5]
            and one[4] + one[6] <= move[4] + move[6]
            for one in pieces
        )
    ]


def free_rooms(
    moves: tuple[Move, ...], whole: Free, ways: list[tuple[Way, ...]], dust: int
) -> list[Free]:
    """Return what one sheet's moves leave free of its whole room, dust left out."""
    by_room = {move[3:7]: move for move in moves}
    free: list[Free] = []
    waiting = [whole]
    while waiting:
        width, height, x, y, sheet = waiting.pop()
        move = by_room.get((x, y, width, height))
        if move is None:
            free.append((width, height, x, y, sheet))
            continue
        sort, at, upright = move[:3]
        if sort < 0:
            wide, high = (at, height) if upright else (width, at)
            waiting.append((wide, high, x, y, sheet))
        else:
            wide, high = ways[sort][at][:2]
            wide = width if width - wide <= dust else wide
            high = height if height - high <= dust else high
        beside = (width - wide, height if upright else high, x + wide, y, sheet)
        above = (wide if upright else width, height - high, x, y + high, sheet)
        waiting += [room for room in (beside, above) if min(room[:2]) > dust]
    return free
