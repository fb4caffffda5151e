"""The seams between the boards of a surface, and the folds of boards too wide."""

from __future__ import annotations

from collections.abc import Sequence

from materials.core.plans.records import Line

Box = tuple[int, int, int, int]
"""x, y, width, height in ticks."""


def seam_runs(boxes: Sequence[Box]) -> list[int]:
    """Return the lengths of the straight seams between boards, upright ones first.

    Method: the borders that two boards share; those that follow each other on one
    line are one seam.

    >>> seam_runs([(0, 0, 4, 9), (4, 0, 4, 5), (4, 5, 4, 4)])
    [9, 4]
    """
    shared: dict[tuple[str, int], list[tuple[int, int]]] = {}
    for x, y, wide, high in boxes:
        for left, low, width, height in boxes:
            if x + wide == left:
                ends = max(y, low), min(y + high, low + height)
                shared.setdefault(("x", left), []).append(ends)
            if y + high == low:
                ends = max(x, left), min(x + wide, left + width)
                shared.setdefault(("y", low), []).append(ends)
    return [
        end - start
        for key in sorted(shared)
        for start, end in _merged([pair for pair in shared[key] if pair[1] > pair[0]])
    ]


def _merged(pairs: Sequence[tuple[int, int]]) -> list[tuple[int, int]]:
    runs: list[tuple[int, int]] = []
    for start, end in sorted(pairs):
        if runs and start <= runs[-1][1]:
            runs[-1] = runs[-1][0], max(end, runs[-1][1])
        else:
            runs.append((start, end))
    return runs


def fold_lines(box: Box, most: int) -> list[Line]:
    """Return where a board is scored on its back so that no part is wider than `most`.

    The folds run along the board, equally spaced over its shorter side.

    >>> fold_lines((0, 0, 1200, 2400), 700)
    [((600, 0), (600, 2400))]
    """
    x, y, wide, high = box
    across = min(wide, high)
    parts = -(-across // most)
    lines: list[Line] = []
    for number in range(1, parts):
        at = across * number // parts
        if wide <= high:
            lines.append(((x + at, y), (x + at, y + high)))
        else:
            lines.append(((x, y + at), (x + wide, y + at)))
    return lines
