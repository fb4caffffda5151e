"""Jobs as they come from bathrooms, drawn by a seed: four families in turn.

Sizes are whole numbers of 1/16 in; the sheet is 48 x 96 in; no kerf. Families:
panels of every size, walls split into full-height strips, small parts of niches,
kerbs and benches, and a mixture of walls and parts.
"""

from __future__ import annotations

from random import Random

Rectangle = tuple[int, int]

SHEET = (48 * 16, 96 * 16)
FAMILIES = ("uniform", "panels", "parts", "mixed")


def job(seed: int, number: int) -> tuple[str, list[Rectangle]]:
    """Return the family and the pieces of one job of a series."""
    rng = Random(f"{seed}/{number}")
    family = FAMILIES[number % 4]
    wanted = rng.randint(5, 40)
    pieces: list[Rectangle] = []
    while len(pieces) < wanted:
        pieces += [size for size in _some(family, rng) if _fits(size)]
    return family, pieces[:wanted]


def wall_job(seed: int, number: int) -> tuple[list[Rectangle], list[Rectangle]]:
    """Return 2 to 8 walls and up to 3 groups of parts of one job."""
    rng = Random(f"walls {seed}/{number}")
    walls = [wall(rng) for _ in range(rng.randint(2, 8))]
    extra: list[Rectangle] = []
    for _ in range(rng.randint(0, 3)):
        extra += [size for size in parts(rng) if _fits(size)]
    return walls, extra


def _some(family: str, rng: Random) -> list[Rectangle]:
    if family == "uniform":
        return [(rng.randint(4 * 16, 48 * 16), rng.randint(6 * 16, 96 * 16))]
    if family == "panels":
        return strips(*wall(rng))
    if family == "parts":
        return parts(rng)
    return strips(*wall(rng)) if rng.random() < 2 / 5 else parts(rng)


def wall(rng: Random) -> Rectangle:
    """Return a wall 24-120 in wide and 60-108 in high."""
    return rng.randint(24 * 8, 120 * 8) * 2, rng.randint(60 * 8, 108 * 8) * 2


def strips(width: int, height: int) -> list[Rectangle]:
    """Return a wall's boards: strips 48 in wide from the left, the rest above 96 in."""
    pieces = []
    while width > 0:
        wide = min(width, SHEET[0])
        pieces.append((wide, min(height, SHEET[1])))
        if height > SHEET[1]:
            pieces.append((wide, height - SHEET[1]))
        width -= wide
    return pieces


def parts(rng: Random) -> list[Rectangle]:
    """Return the pieces of a niche, a kerb, a bench, a panel or a strip."""

    def eighths(low: int, high: int) -> int:
        return rng.randint(low * 8, high * 8) * 2

    kind = rng.randrange(5)
    if kind == 0:
        width, height, depth = eighths(10, 18), eighths(10, 30), eighths(3, 4)
        return [(width, height), *2 * [(width, depth)], *2 * [(height, depth)]]
    if kind == 1:
        length = eighths(30, 66)
        return [(length, eighths(4, 6)), *2 * [(length, eighths(3, 6))]]
    if kind == 2:
        length = eighths(24, 48)
        return [(length, eighths(12, 20)), (length, eighths(14, 20))]
    if kind == 3:
        return [(eighths(12, 47), eighths(12, 80))]
    return [(eighths(3, 9), eighths(24, 90))]


def _fits(size: Rectangle) -> bool:
    short, long = min(size), max(size)
    return short >= 16 and short <= SHEET[0] and long <= SHEET[1]


CLASS_SHEETS = (10, 30, 40, 100, 100, 300, 100, 100, 100, 100)
CLASS_MOST = (10, 10, 35, 35, 100, 100)
"""Sheets' sides of the classes 1 to 10, and the longest sides of 1 to 6 (Berkey and
Wang 1987; Martello and Vigo 1998; the rules from memory)."""


def class_job(
    seed: int, number: int, count: int, at: int
) -> tuple[Rectangle, list[Rectangle]]:
    """Return the sheet and the pieces of an instance like a public class's."""
    rng = Random(f"class {seed}/{number}/{count}/{at}")
    side = CLASS_SHEETS[number - 1]
    if number <= 6:
        most = CLASS_MOST[number - 1]
        sizes = [(rng.randint(1, most), rng.randint(1, most)) for _ in range(count)]
        return (side, side), sizes
    long, half = (side * 2 // 3, side), (1, side // 2)
    kinds = [(long, half), (half, long), ((side // 2, side),) * 2, (half, half)]
    sizes = []
    for _ in range(count):
        own = rng.randrange(10) < 7
        kind = (
            number - 7 if own else rng.choice([k for k in range(4) if k != number - 7])
        )
        wide, high = kinds[kind]
        sizes.append((rng.randint(*wide), rng.randint(*high)))
    return (side, side), sizes
