"""Count tiles beside the naive loop and beside clipping all tiles at once.

Usage: python -m bench.layout [--smoke]. The last line is one JSON object: every target
with its figure, and whether the floors hold. Times are processor time in milliseconds,
one thread, the median of nine warm runs (the naive loop once: it takes minutes), each
size judged by its slowest pattern. Memory is the most the process took while it counted
and proposed, before the plain ways make all their tiles.
"""

from __future__ import annotations

import json
import math
import resource
import statistics
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

import numpy as np
import shapely

from materials.core.lengths import MM
from quotes.core.layout.batch import count_many
from quotes.core.layout.counting import count
from quotes.core.layout.critical import grid_origins
from quotes.core.layout.grid import Grid, grid_of
from quotes.core.layout.records import Rules, SetOut, Surface, Tally, box, rectangle
from quotes.core.layout.setout import propose
from quotes.core.layout.task import Task
from quotes.core.pattern import Lattice, made
from quotes.core.patterns import pattern_named

SIZES = (100, 1_000, 10_000, 100_000)
RUNS = 9
WARM_SECONDS = 0.05
FLOORS = {
    "ms": {100: 1.5, 1_000: 3, 10_000: 10, 100_000: 30},
    "times_at_once": {100: 1.5, 1_000: 8, 10_000: 30, 100_000: 150},
}
GOALS = {"ms": {100: 0.75, 1_000: 1.5, 10_000: 5, 100_000: 15}}
LIMITS = {
    "origins_1024_ms": (150, 60),
    "proposals_ms": (1000, 300),
    "memory_mb": (250, 250),
}
"""At most so much: the floor, the goal."""
TIMES_LOOP = 1_500
"""At least so many times the naive loop at the largest size: a goal."""
THIRD: dict[str, Fraction | bool] = {"offset": Fraction(1, 3)}
CASES: tuple[tuple[str, str, dict[str, int], dict[str, Fraction | bool], int], ...] = (
    ("stack", "stack", {"length": 300, "width": 300}, {}, 0),
    ("third bond", "running_bond", {"length": 600, "width": 150}, THIRD, 0),
    ("herringbone 45", "herringbone", {"length": 450, "width": 200}, {}, 45),
    ("modular", "modular", {"module": 200}, {}, 0),
)  # fmt: skip


def timed(work: Callable[[], Any], *, runs: int = RUNS) -> tuple[float, Any]:
    """Return the median processor time in ms of warm runs, and the last result."""
    result, warm = None, time.process_time() + WARM_SECONDS * (runs > 1)
    while time.process_time() < warm:
        result = work()
    taken = []
    for _ in range(runs):
        begin = time.process_time()
        result = work()
        taken.append(time.process_time() - begin)
    return statistics.median(taken) * 1000, result


def lattice_of(
    key: str, tile: dict[str, int], own: dict[str, Fraction | bool]
) -> Lattice:
    """Return a pattern made for a tile in millimetres and a joint of 3 mm."""
    return made(pattern_named(key), {k: v * MM for k, v in tile.items()}, 3 * MM, own)


def room_of(tiles: int, lattice: Lattice) -> Surface:
    """Return an L-shape with a hole that takes about so many tiles."""
    (ux, uy), (vx, vy) = lattice.u, lattice.v
    area = tiles * abs(ux * vy - uy * vx) / len(lattice.faces)
    side = int(math.sqrt(area / 0.72))
    half, hole = side // 2, side // 6
    outer = ((0, 0), (side, 0), (side, half), (half, half), (half, side), (0, side))
    return Surface(outer=outer, holes=(box(hole, hole, hole, hole),))


def all_faces(tally: Tally, grid: Grid) -> np.ndarray:
    """Return the corners of every face over the room's box: what a plain way makes."""
    low, high = tally.sides[:, :2].min(axis=0), tally.sides[:, :2].max(axis=0)
    corners = np.array([[x, y] for x in (low[0], high[0]) for y in (low[1], high[1])])
    steps = (corners - tally.set_out.origin) @ grid.inverse.T
    first, last = np.floor(steps.min(axis=0)) - 2, np.ceil(steps.max(axis=0)) + 2
    i, j = np.mgrid[first[0] : last[0] + 1, first[1] : last[1] + 1]
    moved = (
        tally.set_out.origin + np.stack([i.ravel(), j.ravel()], axis=1) @ grid.basis.T
    )
    faces = moved[:, None, None, :] + grid.shape[None]
    faces = faces.reshape(-1, *grid.shape.shape[1:])
    near = (faces.max(axis=1) > low).all(axis=1) & (faces.min(axis=1) < high).all(
        axis=1
    )
    return np.asarray(faces[near])


def clipped_at_once(tally: Tally, grid: Grid, region: Any) -> int:
    """Clip every tile by the geometry library, vectorised."""
    area = shapely.area(
        shapely.intersection(shapely.polygons(all_faces(tally, grid)), region)
    )
    return int((area > 0).sum())


def naive(tally: Tally, grid: Grid, region: Any) -> int:
    """Clip one tile after another in a loop."""
    met = 0
    for corners in all_faces(tally, grid):
        met += shapely.Polygon(corners).intersection(region).area > 0
    return met


@dataclass(frozen=True, slots=True, kw_only=True)
class Sample:
    """One size of one pattern, counted: how long it took, and what was found."""

    size: int
    pattern: str
    tally: Tally
    ms: float


def counted(size: int, case: Any) -> Sample:
    """Measure the count of one size of one pattern."""
    name, key, sizes, own, angle = case
    lattice, rules = lattice_of(key, sizes, own), Rules()
    room = room_of(size, lattice)
    set_out = SetOut(origin=(12_345, 6_789), angle=Fraction(angle))
    ms, tally = timed(lambda: count(room, lattice, set_out, rules))
    return Sample(size=size, pattern=name, tally=tally, ms=ms)


def compared(sample: Sample) -> dict[str, Any]:
    """Measure the plain ways of counting the same room."""
    tally = sample.tally
    grid = grid_of(tally.lattice, tally.set_out.angle)
    region = tally.surface.region(Rules()).shape
    at_once, _ = timed(lambda: clipped_at_once(tally, grid, region))
    loop, _ = timed(lambda: naive(tally, grid, region), runs=1)
    return {
        "size": sample.size,
        "pattern": sample.pattern,
        "tiles": tally.no_reuse,
        "cut": tally.cut_count,
        "ms": round(sample.ms, 2),
        "at_once_ms": round(at_once, 1),
        "loop_ms": round(loop, 1),
        "times_at_once": round(at_once / sample.ms, 1),
        "times_loop": round(loop / sample.ms, 1),
    }


def origins_ms() -> float:
    """Measure 1,024 origins of a room of 150 tiles."""
    lattice, rules = lattice_of("stack", {"length": 300, "width": 300}, {}), Rules()
    room = room_of(150, lattice)
    origins = grid_origins(lattice, Fraction(0), steps=32)
    region = room.region(rules)
    ms, _ = timed(lambda: count_many(region, lattice, Fraction(0), origins, rules))
    return round(ms, 1)


def proposals_ms() -> float:
    """Measure all proposals for three walls and the floor of a bathroom."""
    lattice = lattice_of("stack", {"length": 600, "width": 300}, {})
    niche = (box(300 * MM, 1100 * MM, 300 * MM, 400 * MM),)
    surfaces = (
        rectangle(1500 * MM, 2300 * MM, holes=niche),
        rectangle(900 * MM, 2300 * MM),
        rectangle(900 * MM, 2300 * MM),
        rectangle(1500 * MM, 900 * MM),
    )
    task = Task(surfaces=surfaces, lattice=lattice, rules=Rules(kerf=2 * MM))
    ms, _ = timed(lambda: propose(task))
    return round(ms)


def targets(
    rows: list[dict[str, Any]], single: dict[str, float]
) -> list[dict[str, Any]]:
    """Return every target with its figure, and whether it is met."""
    found = []

    def add(name: str, figure: float, limit: float, *, least: bool, goal: bool) -> None:
        met = figure >= limit if least else figure <= limit
        found.append(
            {
                "target": name,
                "kind": "goal" if goal else "floor",
                "limit": f"{'>=' if least else '<='} {limit}",
                "figure": figure,
                "met": met,
            }
        )

    for size in sorted({row["size"] for row in rows}):
        some = [row for row in rows if row["size"] == size]
        slowest = max(row["ms"] for row in some)
        nearest = min(row["times_at_once"] for row in some)
        add(f"ms at {size}", slowest, FLOORS["ms"][size], least=False, goal=False)
        add(f"ms at {size}", slowest, GOALS["ms"][size], least=False, goal=True)
        limit = FLOORS["times_at_once"][size]
        add(f"times at once at {size}", nearest, limit, least=True, goal=False)
    for name, (floor, goal) in LIMITS.items():
        add(name, single[name], floor, least=False, goal=False)
        add(name, single[name], goal, least=False, goal=True)
    largest = [row["times_loop"] for row in rows if row["size"] == SIZES[-1]]
    if largest:
        add("times loop at 100000", min(largest), TIMES_LOOP, least=True, goal=True)
    return found


def main() -> None:
    """Print a table, then one JSON object."""
    sizes = SIZES[:2] if "--smoke" in sys.argv else SIZES
    samples = [counted(size, case) for size in sizes for case in CASES]
    single = {"origins_1024_ms": origins_ms(), "proposals_ms": proposals_ms()}
    single["memory_mb"] = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
    rows = []
    for sample in samples:
        row = compared(sample)
        rows.append(row)
        print(
            f"{row['pattern']:16} {row['tiles']:7} tiles {row['cut']:5} cut "
            f"{row['ms']:8.2f} ms; all at once x {row['times_at_once']:8.1f}; "
            f"loop x {row['times_loop']:8.1f}",
            flush=True,
        )
    judged = targets(rows, single)
    for target in judged:
        print(
            f"{target['kind']:6} {target['target']:24} {target['figure']:9} "
            f"{target['limit']:9} {'met' if target['met'] else 'MISSED'}"
        )
    passed = all(target["met"] for target in judged if target["kind"] == "floor")
    print(json.dumps({"counts": rows, "targets": judged, "passed": passed}))


if __name__ == "__main__":
    main()
