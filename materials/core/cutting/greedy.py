"""Put pieces one after another into free rectangles, with cuts right through.

The kernel of every search here: plain tuples of integers, no objects. A piece goes
to the lower left of a free rectangle; two cuts part it off and leave two smaller
free rectangles, so whatever comes out can be cut edge to edge.
"""

from __future__ import annotations

from random import Random

from materials.core.cutting.problem import Way

Free = tuple[int, int, int, int, int]
"""A free rectangle: width, height, x, y, number of the sheet."""

Move = tuple[int, int, bool, int, int, int, int, int]
"""A piece put down: sort, way, upright cut first, x, y, width and height of the free
rectangle, number of the sheet."""

FITS = ("area", "short", "long", "first", "sheet", "corner")
"""Which free rectangle is best for a piece."""

SPLITS = ("shorter", "longer", "fat", "thin", "upright", "level")
"""Which of the two cuts comes first."""


class Packer:
    """Fill free rectangles in a given order of pieces, by named rules."""

    def __init__(self, ways: list[tuple[Way, ...]], dust: int, least: int) -> None:
        self.ways = ways
        self.dust = dust
        self.least = least
        self.work = 0

    def pack(
        self, order: list[int], free: list[Free], fit: int, split: int
    ) -> tuple[list[int], list[Move]]:
        """Return the sorts that found no place, and the moves of those that did.

        Shape: `free` is used up and holds what is still free at the end.
        Method: best fit by rule `fit`, ties to the earlier rectangle; a heuristic;
        time in the number of pieces times that of free rectangles.
        """
        left: list[int] = []
        moves: list[Move] = []
        for sort in order:
            self.work += len(free) + 2
            found = self._place(sort, free, fit)
            if found is None:
                left.append(sort)
                continue
            at, way = found
            width, height, x, y, sheet = free.pop(at)
            turn = self.ways[sort][way]
            upright = _upright_first(width, height, turn[0], turn[1], split)
            moves.append((sort, way, upright, x, y, width, height, sheet))
            self.divide(free, (width, height, x, y, sheet), turn, upright)
        return left, moves

    def _place(self, sort: int, free: list[Free], fit: int) -> tuple[int, int] | None:
        if self.least:
            return self._place_to_snap(sort, free, fit)
        best = -1
        found = None
        for number, way in enumerate(self.ways[sort]):
            wide, high = way[0], way[1]
            for at, room in enumerate(free):
                spare_x = room[0] - wide
                if spare_x < 0:
                    continue
                spare_y = room[1] - high
                if spare_y < 0:
                    continue
                if fit == 1:
                    score = spare_x if spare_x < spare_y else spare_y
                elif fit == 0:
                    score = room[0] * room[1]
                elif fit == 2:
                    score = spare_x if spare_x > spare_y else spare_y
                elif fit == 5:
                    score = spare_x * spare_y
                elif fit == 3:
                    score = at
                else:
                    score = room[4] << 40
                    score += spare_x if spare_x < spare_y else spare_y
                if best < 0 or score < best:
                    best = score
                    found = (at, number)
        return found

    def _place_to_snap(
        self, sort: int, free: list[Free], fit: int
    ) -> tuple[int, int] | None:
        """Place by the same rules where no strip may be too narrow to snap off."""
        least, dust = self.least, self.dust
        best = -1
        found = None
        for number, (wide, high, _turned, thin_x, thin_y) in enumerate(self.ways[sort]):
            for at, (width, height, _x, _y, sheet) in enumerate(free):
                spare_x, spare_y = width - wide, height - high
                if (
                    spare_x < 0
                    or spare_y < 0
                    or dust < spare_x < least
                    or dust < spare_y < least
                    or (thin_x and spare_x)
                    or (thin_y and spare_y)
                ):
                    continue
                shorter, longer = sorted((spare_x, spare_y))
                score = (
                    width * height,
                    shorter,
                    longer,
                    at,
                    (sheet << 40) + shorter,
                    spare_x * spare_y,
                )[fit]
                if best < 0 or score < best:
                    best = score
                    found = (at, number)
        return found

    def divide(self, free: list[Free], room: Free, turn: Way, upright: bool) -> None:
        """Add to `free` what the two cuts around a piece leave of its room.

        Where only dust lies beside the piece nothing is cut, and what is cut above
        it has the dust as well.
        """
        width, height, x, y, sheet = room
        wide, high = turn[0], turn[1]
        dust = self.dust
        spare_x, spare_y = width - wide, height - high
        if spare_x <= dust:
            wide = width
        if spare_y <= dust:
            high = height
        if spare_x > dust:
            free.append((spare_x, height if upright else high, x + wide, y, sheet))
        if spare_y > dust:
            free.append((wide if upright else width, spare_y, x, y + high, sheet))


def _upright_first(width: int, height: int, wide: int, high: int, split: int) -> bool:
    spare_x, spare_y = width - wide, height - high
    if split == 0:
        return spare_x > spare_y
    if split == 1:
        return spare_x <= spare_y
    if split == 2:
        return spare_x * height >= width * spare_y
    if split == 3:
        return spare_x * height < width * spare_y
    return split == 4


def shuffled(order: list[int], keys: list[int], noise: int, rng: Random) -> list[int]:
    """Return the order by falling key, each key raised by up to `noise` percent.

    >>> shuffled([0, 1, 2], [5, 9, 7], 0, Random(1))
    [1, 2, 0]
    """
    if not noise:
        return sorted(order, key=lambda sort: -keys[sort])
    bits = rng.getrandbits
    return sorted(order, key=lambda sort: -keys[sort] * (12_800 + noise * bits(7)))
