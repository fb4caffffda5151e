"""How good the cutting plans of job-like instances are, and how fast they are proved.

`python -m bench.cutting [--folder FOLDER [--seconds S]] [--seed N] [--smoke]`: jobs of
four families against a second of CPU time and against the guillotine rules of a public
packing library, walls with seams chosen with the cutting, leftovers with and without
the second phase, and instances like the public classes 1 to 10. With `--folder` (or the
variable BENCHMARK_INSTANCES) public instances are read from there and given S seconds
each (2 unless said); of the 500 well-known ones the sum of sheets is judged too. Prints
tables, then one JSON object with every target, its figure and whether it was met.
"""

from __future__ import annotations

import argparse
import json
import os
import resource
import time
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Any

from bench.cutting_jobs import FAMILIES, SHEET, Rectangle, class_job, job, wall_job
from bench.cutting_peer import best_of_rules
from bench.cutting_public import public_jobs
from materials.core.cutting.checker import faults
from materials.core.cutting.cut_file import CutJob, answer
from materials.core.cutting.panels import plan_walls
from materials.core.cutting.records import Budget, CutPlan, Piece, Rules, Stock
from materials.core.cutting.seams import SeamRules, Wall
from materials.core.cutting.sheets import plan_sheets

SECOND = 1_000_000_000
PRICE = 4_000
SECOND_PHASE = 3_000_000
REUSABLE = 12 * 16
CLASSES = range(1, 11)
PUBLIC = 500
"""Instances of the public classes (Berkey and Wang 1987; Martello and Vigo 1998)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """One instance planned: what came out and how long it took."""

    family: str
    plan: CutPlan
    nanoseconds: int
    peer: int | None = None
    is_sound: bool = True

    @property
    def gap(self) -> int:
        """Return the sheets that are not ruled out."""
        return self.plan.used - (self.plan.lower_bound.sheets or 0)


def within(seconds: Fraction) -> Budget:
    """Return a budget that only the CPU time of this process ends."""
    end = time.process_time_ns() + int(seconds * SECOND)
    return Budget(
        work=1 << 60,
        rounds=1_500,
        nodes=500,
        blocks=1 << 60,
        seams=2_000_000,
        milliseconds_left=lambda: (end - time.process_time_ns()) // 1_000_000,
    )


def counted(sizes: list[Rectangle]) -> list[Piece]:
    """Return rectangles as pieces, alike ones once."""
    return [
        Piece(name=f"{at}", width=width, height=height, count=count)
        for at, ((width, height), count) in enumerate(Counter(sizes).items())
    ]


def planned(
    family: str,
    sizes: list[Rectangle],
    sheet: Rectangle,
    *,
    peer: bool,
    seconds: Fraction = Fraction(1),
) -> Run:
    """Plan one instance within so many seconds, check it, and ask the peer."""
    pieces = counted(sizes)
    stock = [Stock(name="sheet", width=sheet[0], height=sheet[1], price=PRICE)]
    start = time.process_time_ns()
    plan = plan_sheets(pieces, stock, Rules(), budget=within(seconds))
    took = time.process_time_ns() - start
    return Run(
        family=family,
        plan=plan,
        nanoseconds=took,
        peer=best_of_rules(sizes, sheet) if peer else None,
        is_sound=is_sound(pieces, stock, plan),
    )


def is_sound(pieces: list[Piece], stock: list[Stock], plan: CutPlan) -> bool:
    """Return whether the independent checker finds nothing to say."""
    read = CutJob(
        unit="in", scale=16, pieces=tuple(pieces), stock=tuple(stock), rules=Rules(),
        seed=0, is_length=False,
    )  # fmt: skip

    def text(sixteenths: int) -> str:
        return str(Fraction(sixteenths, 16))

    asked = {
        "unit": "in",
        "stock": [
            {
                "name": row.name,
                "width": text(row.width),
                "height": text(row.height),
                "price": f"{row.price // 100}",
            }
            for row in stock
        ],
        "pieces": [
            {
                "name": row.name,
                "width": text(row.width),
                "height": text(row.height),
                "count": row.count,
            }
            for row in pieces
        ],
    }
    return not faults(asked, answer(read, plan))


def share(values: list[int], percent: int) -> int:
    """Return the value that so many per cent do not exceed (nearest rank)."""
    ordered = sorted(values)
    return ordered[max(0, -(-len(ordered) * percent // 100) - 1)]


def jobs(seed: int, count: int) -> list[Run]:
    """Plan the job-like instances; print them by family."""
    runs = []
    for number in range(count):
        family, sizes = job(seed, number)
        runs.append(planned(family, sizes, SHEET, peer=True))
    head = "jobs", "sheets", "bound", "peer", "proven", "median ms", "p95 ms"
    print("{:10} {:>7} {:>7} {:>7} {:>9} {:>10} {:>9}".format(*head))
    for family in (*FAMILIES, "all"):
        rows = [run for run in runs if family in (run.family, "all")]
        times = [run.nanoseconds for run in rows]
        print(
            f"{family:10} {sum(run.plan.used for run in rows):7} "
            f"{sum(run.plan.lower_bound.sheets or 0 for run in rows):7} "
            f"{sum(run.peer or 0 for run in rows):7} "
            f"{sum(run.plan.proven for run in rows):4}/{len(rows):<4} "
            f"{share(times, 50) / 1e6:10.1f} {share(times, 95) / 1e6:9.0f}"
        )
    kinds = Counter(run.plan.certificate.kind for run in runs if run.plan.proven)
    print("proved by", ", ".join(f"{kind} {n}" for kind, n in kinds.most_common()))
    return runs


def walls(seed: int, count: int) -> dict[str, Any]:
    """Plan wall jobs with seams from the corner, and with joint seams."""
    naive = joint = fewer = 0
    took = 0
    for number in range(count):
        sizes, parts = wall_job(seed, number)
        rows = [
            Wall(name=f"wall {at}", width=width, height=height)
            for at, (width, height) in enumerate(sizes, 1)
        ]
        stock = [Stock(name="sheet", width=SHEET[0], height=SHEET[1], price=PRICE)]
        start = time.process_time_ns()
        plan = plan_walls(
            rows, counted(parts), stock, Rules(), seam_rules=SeamRules(),
            budget=within(Fraction(3)),
        )  # fmt: skip
        took += time.process_time_ns() - start
        pieces = [
            (min(SHEET[0], width - x), min(SHEET[1], height - y))
            for width, height in sizes
            for x in range(0, width, SHEET[0])
            for y in range(0, height, SHEET[1])
        ]
        corner = planned("walls", pieces + parts, SHEET, peer=False)
        naive += corner.plan.used
        joint += plan.plan.used
        fewer += plan.plan.used < corner.plan.used
    saved = 100 * (naive - joint) / naive
    print(
        f"walls: from the corner {naive}, joint {joint} sheets, {saved:.1f} % saved, "
        f"fewer in {fewer} of {count}, {took / count / SECOND:.2f} s each"
    )
    return {"naive": naive, "joint": joint, "saved_percent": round(saved, 2)}


def largest(plan: CutPlan) -> int:
    """Return the area of the largest leftover."""
    return max((row.width * row.height for row in plan.leftovers), default=0)


def leftovers(seed: int, count: int) -> dict[str, Any]:
    """Compare the largest reusable leftover with and without the second phase."""
    single = double = 0
    took = 0
    for number in range(count):
        _family, sizes = job(seed, number)
        pieces = counted(sizes)
        stock = [Stock(name="sheet", width=SHEET[0], height=SHEET[1], price=PRICE)]
        rules = Rules(leftover=(REUSABLE, REUSABLE))
        plans = []
        for tidy in (0, SECOND_PHASE):
            start = time.process_time_ns()
            budget = Budget(work=2_000_000, tidy=tidy)
            plans.append(plan_sheets(pieces, stock, rules, budget=budget))
            took += (time.process_time_ns() - start) * (1 if tidy else -1)
        if plans[0].used == plans[1].used:
            single += largest(plans[0])
            double += largest(plans[1])
    more = 100 * (double / single - 1)
    unit = 256 * 144 * count
    print(
        f"leftovers: {single / unit:.2f} sq ft, with the second phase "
        f"{double / unit:.2f} ({more:+.1f} %), {took / count / SECOND:.2f} s each"
    )
    return {"more_percent": round(more, 2)}


def classes(seed: int, count: int, counts: tuple[int, ...]) -> list[Run]:
    """Plan instances like the public classes 1 to 10, with their own sheets."""
    runs = []
    for number in CLASSES:
        rows = []
        for pieces in counts:
            for at in range(count):
                sheet, sizes = class_job(seed, number, pieces, at)
                rows.append(planned(f"class {number}", sizes, sheet, peer=False))
        print(_line(f"class {number}", rows))
        runs += rows
    return runs


def public(folder: Path, seconds: Fraction) -> list[Run]:
    """Plan the public instances of a folder, with their own sheets."""
    runs = [
        planned(name, sizes, sheet, peer=False, seconds=seconds)
        for name, sheet, sizes in public_jobs(folder)
    ]
    for family in dict.fromkeys(run.family for run in runs):
        print(_line(family, [run for run in runs if run.family == family]))
    return runs


def _line(name: str, rows: list[Run]) -> str:
    return (
        f"{name:24} sheets {sum(run.plan.used for run in rows):5} "
        f"bound {sum(run.plan.lower_bound.sheets or 0 for run in rows):5} "
        f"proven {sum(run.plan.proven for run in rows):3}/{len(rows)}"
    )


def target(
    figure: float, floor: float, goal: float, holds: Callable[[float, float], bool]
) -> dict[str, Any]:
    """Return a figure beside its floor and goal."""
    return {
        "figure": round(figure, 3),
        "floor": floor,
        "goal": goal,
        "passed": holds(figure, floor),
        "goal_met": holds(figure, goal),
    }


def at_least(figure: float, wanted: float) -> bool:
    """Return whether a figure is large enough."""
    return figure >= wanted


def at_most(figure: float, wanted: float) -> bool:
    """Return whether a figure is small enough."""
    return figure <= wanted


def targets(runs: list[Run], seams: Any, kept: Any) -> dict[str, Any]:
    """Return every target with its figure."""
    times = [run.nanoseconds for run in runs]
    soon = sum(run.plan.proven and run.nanoseconds <= 1.05 * SECOND for run in runs)
    worse = sum(run.plan.used > run.peer for run in runs if run.peer is not None)
    faulty = sum(not run.is_sound for run in runs)
    return {
        "proven_percent": target(100 * soon / len(runs), 95, 98, at_least),
        "median_ms": target(share(times, 50) / 1e6, 10, 10, at_most),
        "p95_seconds": target(share(times, 95) / SECOND, 0.7, 0.5, at_most),
        "largest_gap_sheets": target(max(run.gap for run in runs), 1, 1, at_most),
        "worse_than_peer": target(worse, 0, 0, at_most),
        "refused_by_checker": target(faulty, 0, 0, at_most),
        "joint_seams_saved_percent": target(seams["saved_percent"], 5, 6, at_least),
        "leftover_more_percent": target(kept["more_percent"], 20, 25, at_least),
    }


def main() -> None:
    """Print tables, then one JSON object."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--folder", default=os.environ.get("BENCHMARK_INSTANCES"))
    parser.add_argument("--seconds", type=Fraction, default=Fraction(2))
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--smoke", action="store_true")
    chosen = parser.parse_args()
    import highspy  # noqa: F401 - loaded before anything is timed

    few = chosen.smoke
    runs = jobs(chosen.seed, 24 if few else 300)
    seams = walls(chosen.seed, 3 if few else 100)
    kept = leftovers(chosen.seed, 8 if few else 120)
    like = classes(chosen.seed, 1 if few else 5, (20,) if few else (20, 60))
    result: dict[str, Any] = {
        "seed": chosen.seed,
        "smoke": few,
        "targets": targets(runs, seams, kept),
        "class_like": {
            "sheets": sum(run.plan.used for run in like),
            "bound": sum(run.plan.lower_bound.sheets or 0 for run in like),
            "proven": sum(run.plan.proven for run in like),
            "instances": len(like),
        },
    }
    if chosen.folder:
        found = public(Path(chosen.folder), chosen.seconds)
        if len(found) == PUBLIC:
            goal = 7_010 if chosen.seconds <= 2 else 6_990
            sheets = sum(run.plan.used for run in found)
            result["targets"]["public_sheets"] = target(sheets, 7_035, goal, at_most)
        result["public"] = {
            "seconds": float(chosen.seconds),
            "sheets": sum(run.plan.used for run in found),
            "bound": sum(run.plan.lower_bound.sheets or 0 for run in found),
            "proven": sum(run.plan.proven for run in found),
            "instances": len(found),
        }
    for name, row in result["targets"].items():
        print(f"{name:28} {row['figure']:9}  floor {row['floor']}, goal {row['goal']}")
    result["memory_mb"] = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
    result["passed"] = all(row["passed"] for row in result["targets"].values())
    print(json.dumps(result))


if __name__ == "__main__":
    main()
