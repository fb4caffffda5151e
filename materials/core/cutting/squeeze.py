"""Get all the pieces into given sheets: ruin and recreate with a goal.

The sheets are fixed; some pieces find no place. Again and again a few parts of the
plan are emptied and refilled together with those pieces: whole sheets, a room with
all that was cut from it, or the bed of one piece, whose cuts stay. The result stays
when the area without a place has not grown, or not beyond what it was some rounds ago.
"""

from __future__ import annotations

from collections.abc import Callable
from random import Random

from materials.core.cutting.greedy import FITS, SPLITS, Free, Move, Packer, shuffled
from materials.core.cutting.trees import cleared, emptied, without_empty

MEMORY = 60
"""Rounds that late acceptance looks back."""

ASK_STOP = 64

FEW_SHEETS = 4

WHOLE_SHEETS = (20, 60)
"""Per cent of the rounds that empty whole sheets, for few sheets and for many."""

BEDS = 30
"""Per cent of the others that empty the bed of one piece instead of its whole room."""

MOST_ROOMS = 4

NOISES = (0, 20, 60, 150)

RESTART = 2_000_000
"""Work after which a search that got nowhere begins anew."""


class Squeeze:
    """A search for a place for every piece in the sheets given.

    Method: late acceptance over emptied and refilled parts; a heuristic. It ends with
    a packing, when the work is used up, or when told to stop.
    """

    def __init__(
        self, packer: Packer, keys: list[list[int]], rooms: list[tuple[int, int]]
    ) -> None:
        self.packer = packer
        self.keys = keys
        self.area = keys[0]
        self.rooms = rooms
        self.packed: list[Move] = []
        self.free: list[Free] = []
        self.out: list[int] = []
        self.history: list[int] = []

    @property
    def moves(self) -> list[list[Move]]:
        """Return the moves of every sheet, cuts that serve no piece left out."""
        sheets: list[list[Move]] = [[] for _ in self.rooms]
        for move in self.packed:
            sheets[move[7]].append(move)
        return [without_empty(moves) for moves in sheets]

    def start(self, order: list[int], rng: Random) -> None:
        """Fill the sheets greedily for a beginning."""
        self.packed = []
        self.free = [(w, h, 0, 0, at) for at, (w, h) in enumerate(self.rooms)]
        fit, split = int(rng.random() * len(FITS)), int(rng.random() * len(SPLITS))
        self.out, self.packed = self.packer.pack(order, self.free, fit, split)
        self.history = [self._without_place()] * MEMORY

    def resume(self, packed: list[Move], free: list[Free], out: list[int]) -> None:
        """Begin from a plan that leaves some pieces without a place."""
        self.packed, self.free, self.out = packed, free, out
        self.history = [self._without_place()] * MEMORY

    def _without_place(self) -> int:
        return sum([self.area[sort] for sort in self.out])

    def run(self, rng: Random, work: int, stop: Callable[[], bool]) -> bool:
        """Search until nothing is left out; return whether that was reached."""
        packer, area = self.packer, self.area
        end, restart = packer.work + work, packer.work + RESTART
        current = self._without_place()
        turn = 0
        while self.out:
            if packer.work > end or (turn % ASK_STOP == 0 and stop()):
                return False
            if packer.work > restart:
                restart += RESTART
                self._restart(rng)
                current = self._without_place()
                continue
            order, kept, free = self._ruined(rng)
            order += self.out
            key = self.keys[int(rng.random() * len(self.keys))]
            order = shuffled(order, key, NOISES[rng.getrandbits(2)], rng)
            fit, split = int(rng.random() * len(FITS)), int(rng.random() * len(SPLITS))
            out, made = packer.pack(order, free, fit, split)
            slot = turn % MEMORY
            lost = sum([area[sort] for sort in out])
            if lost <= current or lost <= self.history[slot]:
                self.out, self.free, current = out, free, lost
                self.packed = kept + made
            self.history[slot] = current
            turn += 1
        return True

    def _restart(self, rng: Random) -> None:
        order = [move[0] for move in self.packed if move[0] >= 0] + self.out
        key = self.keys[int(rng.random() * len(self.keys))]
        self.start(shuffled(order, key, NOISES[rng.getrandbits(2)], rng), rng)

    def _ruined(self, rng: Random) -> tuple[list[int], list[Move], list[Free]]:
        """Return the pieces taken out, the moves that stay and what is free then."""
        random = rng.random
        order: list[int] = []
        kept, free = self.packed, self.free.copy()
        whole = WHOLE_SHEETS[len(self.rooms) > FEW_SHEETS]
        if random() * 100 < whole or not kept:
            for at in _some(len(self.rooms), rng):
                kept = cleared((*self.rooms[at], 0, 0, at), order, kept, free)
            return order, kept, free
        for _ in range(1 + int(random() * MOST_ROOMS)):
            if not kept:
                break
            number = int(random() * len(kept))
            move = kept[number]
            sort, way, _upright, x, y, width, height, sheet = move
            if sort >= 0 and random() * 100 < BEDS:
                turn = self.packer.ways[sort][way]
                order.append(sort)
                cuts, bed = emptied(move, turn, self.packer.dust)
                kept = kept[:number] + cuts + kept[number + 1 :]
                free.append(bed)
            else:
                kept = cleared((width, height, x, y, sheet), order, kept, free)
        return order, kept, free


def _some(sheets: int, rng: Random) -> list[int]:
    wanted = min(sheets, 1 + rng.getrandbits(2) % 4)
    if wanted == sheets:
        return list(range(sheets))
    chosen: list[int] = []
    while len(chosen) < wanted:
        at = int(rng.random() * sheets)
        if at not in chosen:
            chosen.append(at)
    return chosen
