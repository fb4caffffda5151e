"""Get all the pieces into given sheets: ruin and recreate with a goal.

The sheets are fixed; some pieces find no place. Again and again a few sheets are
emptied and refilled together with those pieces, and the result stays when the area
without a place has not grown, or not beyond what it was some rounds ago.
"""

from __future__ import annotations

from collections.abc import Callable
from random import Random

from materials.core.cutting.greedy import FITS, SPLITS, Free, Move, Packer, shuffled

MEMORY = 60
"""Rounds that late acceptance looks back."""

ASK_STOP = 64


class Squeeze:
    """A search for a place for every piece in the sheets given.

    Method: late acceptance over repacked groups of one to four sheets; a heuristic.
    It ends with a packing, when the work is used up, or when told to stop.
    """

    def __init__(
        self, packer: Packer, keys: list[list[int]], rooms: list[tuple[int, int]]
    ) -> None:
        self.packer = packer
        self.keys = keys
        self.area = keys[0]
        self.rooms = rooms
        self.content: list[list[int]] = [[] for _ in rooms]
        self.moves: list[list[Move]] = [[] for _ in rooms]
        self.out: list[int] = []

    def start(self, order: list[int], rng: Random) -> None:
        """Fill the sheets greedily for a beginning."""
        free = [(w, h, 0, 0, at) for at, (w, h) in enumerate(self.rooms)]
        self._take(range(len(self.rooms)), order, free, rng, 0)

    def _take(
        self,
        chosen: range | list[int],
        order: list[int],
        free: list[Free],
        rng: Random,
        limit: int,
    ) -> bool:
        """Repack; keep the outcome unless more than `limit` area stays out."""
        fit = int(rng.random() * len(FITS))
        split = int(rng.random() * len(SPLITS))
        out, moves = self.packer.pack(order, free, fit, split)
        if limit and sum([self.area[sort] for sort in out]) > limit:
            return False
        self.out = out
        for at in chosen:
            self.content[at] = []
            self.moves[at] = []
        for move in moves:
            self.content[move[7]].append(move[0])
            self.moves[move[7]].append(move)
        return True

    def run(self, rng: Random, work: int, stop: Callable[[], bool]) -> bool:
        """Search until nothing is left out; return whether that was reached."""
        end = self.packer.work + work
        current = sum(self.area[sort] for sort in self.out)
        history = [current] * MEMORY
        turn = 0
        sheets = len(self.rooms)
        while self.out:
            if self.packer.work > end or (turn % ASK_STOP == 0 and stop()):
                return False
            chosen = _some(sheets, rng)
            order = list(self.out)
            for at in chosen:
                order += self.content[at]
            key = self.keys[int(rng.random() * len(self.keys))]
            order = shuffled(order, key, (0, 20, 60, 150)[rng.getrandbits(2)], rng)
            free = [(*self.rooms[at], 0, 0, at) for at in chosen]
            slot = turn % MEMORY
            limit = history[slot] if history[slot] > current else current
            if self._take(chosen, order, free, rng, limit):
                current = sum([self.area[sort] for sort in self.out])
            history[slot] = current
            turn += 1
        return True


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
