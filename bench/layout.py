"""Count tiles beside the naive loop and beside clipping all tiles at once.

Usage: python -m bench.layout [--quick]. The last line is one JSON object. Times are
the best of several, in milliseconds of processor time.
"""

from __future__ import annotations

import json
import math
import resource
import sys
import time
from collections.abc import Callable
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
from quotes.core.layout.setout import Task, propose
from quotes.core.pattern import Lattice, made
from quotes.core.patterns import pattern_named

SIZES = (100, 1_000, 10_000, 100_000)
NAIVE_UP_TO = 100_000
THIRD: dict[str, Fraction | bool] = {"offset": Fraction(1, 3)}
CASES: tuple[tuple[str, str, dict[str, int], dict[str, Fraction | bool], int], ...] = (
    ("stack", "stack", {"length": 300, "width": 300}, {}, 0),
    ("third bond", "running_bond", {"length": 600, "width": 150}, THIRD, 0),
    ("herringbone 45", "herringbone", {"length": 450, "width": 200}, {}, 45),
    ("modular", "modular", {"module": 200}, {}, 0),
)  # fmt: skip


def timed(work: Callable[[], Any], *, times: int) -> tuple[float, Any]:
    """Return the least processor time of several runs, in ms, and the last result."""
    best, result = math.inf, None
    for _ in range(times):
        begin = time.process_time()
        result = work()
        best = min(best, time.process_time() - begin)
    return best * 1000, result


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


def one(tiles: int, case: Any) -> dict[str, Any]:
    """Measure one size of one pattern three ways."""
    name, key, sizes, own, angle = case
    lattice, rules = lattice_of(key, sizes, own), Rules()
    room = room_of(tiles, lattice)
    set_out = SetOut(origin=(12_345, 6_789), angle=Fraction(angle))
    ours, tally = timed(
        lambda: count(room, lattice, set_out, rules), times=30 if tiles < 5000 else 12
    )
    grid, region = grid_of(lattice, set_out.angle), room.region(rules).shape
    at_once, _ = timed(
        lambda: clipped_at_once(tally, grid, region), times=3 if tiles < 5000 else 1
    )
    loop = None
    if tiles <= NAIVE_UP_TO:
        loop, _ = timed(lambda: naive(tally, grid, region), times=1)
    return {
        "pattern": name,
        "tiles": tally.no_reuse,
        "cut": tally.cut_count,
        "ms": round(ours, 2),
        "at_once_ms": round(at_once, 1),
        "loop_ms": None if loop is None else round(loop, 1),
        "times_at_once": round(at_once / ours, 1),
        "times_loop": None if loop is None else round(loop / ours, 1),
    }


def origins_ms() -> float:
    """Measure 1,024 origins of a room of 150 tiles."""
    lattice, rules = lattice_of("stack", {"length": 300, "width": 300}, {}), Rules()
    room = room_of(150, lattice)
    origins = grid_origins(lattice, Fraction(0), steps=32)
    region = room.region(rules)
    best, _ = timed(
        lambda: count_many(region, lattice, Fraction(0), origins, rules), times=5
    )
    return round(best, 1)


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
    task = Task(
        surfaces=surfaces, lattice=lattice, rules=Rules(kerf=2 * MM), tries=24, grid=16
    )
    best, _ = timed(lambda: propose(task), times=3)
    return round(best)


def main() -> None:
    """Print a table, then one JSON object."""
    sizes = SIZES[:3] if "--quick" in sys.argv else SIZES
    rows = []
    for tiles in sizes:
        for case in CASES:
            row = one(tiles, case)
            rows.append(row)
            print(
                f"{row['pattern']:16} {row['tiles']:7} tiles {row['cut']:5} cut "
                f"{row['ms']:8.2f} ms; all at once x {row['times_at_once']:8.1f}; "
                f"loop x {row['times_loop'] or 0:8.1f}"
            )
    result = {
        "counts": rows,
        "origins_1024_ms": origins_ms(),
        "proposals_ms": proposals_ms(),
        "memory_mb": resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024,
    }
    print(json.dumps(result))


if __name__ == "__main__":
    main()
