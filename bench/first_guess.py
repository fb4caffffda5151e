"""How far the first guess of tile is off, and what line fits best.

Usage: python -m bench.first_guess [--rooms N] [--seed S]. Rooms, tiles and patterns are
those of `bench.order`. The loss of a room is what the factory-edge plan takes over its
area, less one; it is set beside perimeter × √tile ÷ area. Half of the rooms fit a line,
the other half are judged by it and by the line that the program uses. The last line is
one JSON object: the rms error of the program's own line, in points of loss.
"""

from __future__ import annotations

import argparse
import json
import math
import random
from fractions import Fraction

import numpy as np

from bench.order import drawn
from materials.core.lengths import Length
from quotes.core.first_guess import ERROR, guessed_loss
from quotes.core.layout.records import Surface

LIMIT = 9
"""Points of rms error at most, on other rooms than those the line was drawn through."""


def around(surface: Surface) -> int:
    """Return the length of all sides in ticks, rounded down side by side."""
    found = 0
    for ring in (surface.outer, *surface.holes):
        for (x, y), (u, v) in zip(ring, (*ring[1:], ring[0]), strict=True):
            found += math.isqrt((u - x) ** 2 + (v - y) ** 2)
    return found


def rooms(count: int, seed: int) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Return perimeter × √tile ÷ area, the loss, and the guess, a room each."""
    rng = random.Random(seed)
    spread, loss, guess = [], [], []
    for _ in range(count):
        surfaces, plan, _flat = drawn(rng)
        area = sum((surface.area for surface in surfaces), Fraction(0))
        perimeter = Length(sum(map(around, surfaces)))
        tile = float(plan.item.area)
        spread.append(perimeter.ticks * math.sqrt(tile) / float(area))
        loss.append(plan.strict * tile / float(area) - 1)
        side = Length(math.isqrt(int(plan.item.area)))
        guess.append(float(guessed_loss(area, perimeter, side)))
    return np.array(spread), np.array(loss), np.array(guess)


def main() -> None:
    """Print the fit and the errors."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rooms", type=int, default=1000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--smoke", action="store_true")
    asked = parser.parse_args()
    count = 60 if asked.smoke else asked.rooms
    spread, loss, guess = rooms(count, asked.seed)
    half = count // 2
    slope, base = np.polyfit(spread[:half], loss[:half], 1)
    fitted = base + slope * spread[half:]
    errors = {
        "fitted": 100 * float(np.sqrt(np.mean((loss[half:] - fitted) ** 2))),
        "used": 100 * float(np.sqrt(np.mean((loss - guess) ** 2))),
        "mean": 100 * float(np.sqrt(np.mean((loss - loss.mean()) ** 2))),
    }
    print(f"{count} rooms, seed {asked.seed}")
    print(f"loss = {base:.3f} + {slope:.3f} × perimeter × √tile ÷ area")
    for name, points in errors.items():
        print(f"{name:8} {points:5.1f} points rms")
    passed = errors["used"] <= LIMIT
    print(
        json.dumps(
            {
                "rooms": count,
                "seed": asked.seed,
                "rms_points": {
                    "figure": round(errors["used"], 2), "floor": LIMIT,
                    "stated": ERROR, "passed": passed,
                },
                "passed": passed,
            }
        )
    )  # fmt: skip


if __name__ == "__main__":
    main()
