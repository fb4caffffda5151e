"""Get all the pieces into given sheets: ruin and recreate with a goal.

The sheets are fixed; some pieces find no place. Again and again one to four sheets are
emptied, whole or in part, and refilled together with those pieces and with nothing
else in sight, so that a round costs as much on fifty sheets as on five. The result
stays when the area without a place has not grown, or not beyond what it was some rounds
ago. Full sheets are remembered: as patterns they serve who asks for whole numbers.
"""

from __future__ import annotations

from collections.abc import Callable
from random import Random

from materials.core.cutting.greedy import FITS, SPLITS, Free, Move, Packer, shuffled
from materials.core.cutting.trees import cleared, emptied, without_empty

MEMORY = 60
"""Rounds that late acceptance looks back."""

ASK_STOP = 64

NOISES = (0, 20, 60, 150)

RESTART = 7_000_000
"""Work after which a search that got nowhere begins anew."""

WHOLE = 20
"""Per cent of the sheets of a round that are emptied whole."""

BEDS = 30
"""Per cent of what else is emptied: the bed of one piece instead of its whole room."""

MOST_ROOMS = 2

ROUND = 60
"""Work that a round costs beside its trials."""

FULL = 88
"""Per cent of a sheet's area from which it is worth remembering."""

MOST_SEEN = 600

Seen = dict[tuple[int, ...], tuple[int, tuple[Move, ...]]]


class Squeeze:
    """A search for a place for every piece in the sheets given.

    Method: late acceptance over emptied and refilled sheets; a heuristic. It ends with
    a packing, when the work is used up, or when told to stop.
    """

    def __init__(
        self, packer: Packer, keys: list[list[int]], rooms: list[tuple[int, int]]
    ) -> None:
        self.packer = packer
        self.keys = keys
        self.area = keys[0]
        self.rooms = [(w, h, 0, 0, at) for at, (w, h) in enumerate(rooms)]
        self.on: list[list[Move]] = [[] for _ in rooms]
        self.free: list[list[Free]] = [[] for _ in rooms]
        self.out: list[int] = []
        self.seen: Seen = {}

    @property
    def moves(self) -> list[list[Move]]:
        """Return the moves of every sheet, cuts that serve no piece left out."""
        return [without_empty(moves) for moves in self.on]

    @property
    def patterns(self) -> list[tuple[int, list[Move]]]:
        """Return full sheets met on the way, each set of pieces once, by sheet."""
        return [(at, without_empty(list(moves))) for at, moves in self.seen.values()]

    def start(self, order: list[int], rng: Random) -> None:
        """Fill the sheets greedily for a beginning."""
        fit, split = int(rng.random() * len(FITS)), int(rng.random() * len(SPLITS))
        free = self.rooms.copy()
        self.out, made = self.packer.pack(order, free, fit, split)
        self.on = [[] for _ in self.rooms]
        self.free = [[] for _ in self.rooms]
        self._lay(made, free)

    def resume(self, packed: list[Move], free: list[Free], out: list[int]) -> None:
        """Begin from a plan that leaves some pieces without a place."""
        self.out = out
        self._lay(packed, free)

    def _lay(self, moves: list[Move], free: list[Free]) -> None:
        for move in moves:
            self.on[move[7]].append(move)
        for room in free:
            self.free[room[4]].append(room)

    def _without_place(self) -> int:
        return sum([self.area[sort] for sort in self.out])

    def run(self, rng: Random, work: int, stop: Callable[[], bool]) -> bool:
        """Search until nothing is left out; return whether that was reached."""
        packer = self.packer
        end, restart = packer.work + work, packer.work + RESTART
        current = self._without_place()
        history = [current] * MEMORY
        turn = 0
        while self.out:
            if packer.work > end or (turn % ASK_STOP == 0 and stop()):
                return False
            if packer.work > restart:
                restart += RESTART
                self._restart(rng)
                current = self._without_place()
                history = [current] * MEMORY
                continue
            slot = turn % MEMORY
            current = self._round(rng, current, max(current, history[slot]))
            history[slot] = current
            turn += 1
        return True

    def _round(self, rng: Random, current: int, most: int) -> int:
        """Refill some sheets; return the area without a place then.

        What makes it more than `most` is undone.
        """
        random, packer = rng.random, self.packer
        chosen = _some(len(self.rooms), rng)
        order = self.out.copy()
        free: list[Free] = []
        kept: list[Move] = []
        for at in chosen:
            if random() * 100 < WHOLE:
                order += [move[0] for move in self.on[at] if move[0] >= 0]
                free.append(self.rooms[at])
            else:
                kept += self._ruined(at, order, free, rng)
        key = self.keys[int(random() * len(self.keys))]
        order = shuffled(order, key, NOISES[rng.getrandbits(2)], rng)
        fit, split = int(random() * len(FITS)), int(random() * len(SPLITS))
        out, made = packer.pack(order, free, fit, split)
        packer.work += ROUND
        area = self.area
        lost = sum([area[sort] for sort in out])
        if lost > most:
            return current
        self.out = out
        for at in chosen:
            self.on[at], self.free[at] = [], []
        self._lay(kept, free)
        self._lay(made, [])
        if len(self.seen) < MOST_SEEN:
            self._see(chosen)
        return lost

    def _ruined(
        self, at: int, order: list[int], free: list[Free], rng: Random
    ) -> list[Move]:
        """Empty some of a sheet; return the moves that stay, what is free joins in."""
        kept, there = self.on[at], self.free[at].copy()
        for _ in range(1 + int(rng.random() * MOST_ROOMS)):
            if not kept:
                break
            number = int(rng.random() * len(kept))
            move = kept[number]
            sort, way, _upright, x, y, width, height, sheet = move
            if sort >= 0 and rng.random() * 100 < BEDS:
                order.append(sort)
                cuts, bed = emptied(move, self.packer.ways[sort][way], self.packer.dust)
                kept = kept[:number] + cuts + kept[number + 1 :]
                there.append(bed)
            else:
                kept = cleared((width, height, x, y, sheet), order, kept, there)
        free += there
        return kept

    def _see(self, chosen: list[int]) -> None:
        for at in chosen:
            sorts = [move[0] for move in self.on[at] if move[0] >= 0]
            room, area = self.rooms[at], self.area
            if sum([area[sort] for sort in sorts]) * 100 > room[0] * room[1] * FULL:
                sorts.sort()
                self.seen.setdefault(tuple(sorts), (at, tuple(self.on[at])))

    def _restart(self, rng: Random) -> None:
        order = [move[0] for moves in self.on for move in moves if move[0] >= 0]
        key = self.keys[int(rng.random() * len(self.keys))]
        order = shuffled(order + self.out, key, NOISES[rng.getrandbits(2)], rng)
        self.start(order, rng)


def _some(sheets: int, rng: Random) -> list[int]:
    wanted = min(sheets, 1 + rng.getrandbits(2))
    chosen: list[int] = []
    while len(chosen) < wanted:
        at = int(rng.random() * sheets)
        if at not in chosen:
            chosen.append(at)
    return chosen
