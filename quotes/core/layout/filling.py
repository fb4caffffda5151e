"""Pieces put into tiles, the largest first: a quick plan, and a start for the proof."""

from __future__ import annotations

from collections.abc import Sequence

from quotes.core.layout.certificate import TileSet
from quotes.core.layout.fit import MOST_IN_ONE, Fit


def largest_first(fit: Fit, counts: Sequence[int]) -> list[tuple[TileSet, int]]:
    """Return sets found by taking the largest piece and filling up its tile.

    Method: heuristic, greedy; sets that can be repeated are taken at once.
    """
    left = list(counts)
    turns = fit.per_class
    alive = (1 << (len(counts) * turns)) - 1
    chosen: list[tuple[TileSet, int]] = []
    for piece in range(len(counts)):
        while left[piece]:
            tile = _filled(fit, left, ((piece, 0),), alive)
            used = {index: 0 for index, _ in tile}
            for index, _ in tile:
                used[index] += 1
            times = min(left[index] // n for index, n in used.items())
            chosen.append((tile, times))
            for index, n in used.items():
                left[index] -= n * times
                if not left[index]:
                    alive &= ~(((1 << turns) - 1) << (index * turns))
    return chosen


def _filled(fit: Fit, left: Sequence[int], tile: TileSet, alive: int) -> TileSet:
    turns = fit.per_class
    mask = alive & fit.masks[tile[0][0] * turns + tile[0][1]]
    while mask and len(tile) < MOST_IN_ONE:
        bit = (mask & -mask).bit_length() - 1
        placement = divmod(bit, turns)
        used = sum(1 for index, _ in tile if index == placement[0])
        longer = (*tile, placement)
        if used < left[placement[0]] and fit.is_parted(longer):
            tile = longer
            mask &= fit.masks[bit]
        else:
            mask &= ~(1 << bit)
    return tile
