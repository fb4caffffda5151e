"""Random rooms for the count: a room, a tile, where it stands; seeded, shares known.

One room in two has a hole, one in three is out of square, one in three is laid turned,
one in five has an edge of a tile exactly on a wall. Lengths are whole millimetres, or
halves where half a tile comes in; a room takes up to MOST_TILES tiles.
"""

from __future__ import annotations

import math
import random
from dataclasses import dataclass, field
from fractions import Fraction

import numpy as np

from materials.core.errors import BadShape
from materials.core.lengths import MM
from quotes.core.geometry import turned
from quotes.core.layout.counting import count
from quotes.core.layout.records import Rules, SetOut, Surface, Tally
from quotes.core.pattern import Lattice
from tests.layout_reference import SlowCount, slow_count
from tests.pattern_proof import built

MOST_TILES = 300
PATTERNS = (
    "stack", "running_bond", "herringbone", "basketweave", "hexagon",
    "hopscotch", "windmill", "modular", "chevron", "octagon_dot",
)  # fmt: skip
CENTRED = ("hexagon", "octagon_dot")
"""The origin is the centre of their first face; elsewhere its lower left corner."""

HAIR = 1e-7
"""Millimetres: the grid of a second look, where a double's last bit left a spike."""

Corner = tuple[int, int]
Corners = tuple[Corner, ...]


@dataclass(frozen=True, kw_only=True)
class Case:
    """A room in whole millimetres, a tile and where it stands."""

    outer: Corners
    holes: tuple[Corners, ...]
    pattern: str
    tile: dict[str, int]
    joint: str
    own: dict[str, Fraction | bool] = field(default_factory=dict)
    angle: Fraction = Fraction(0)
    origin: tuple[Fraction, Fraction] = (Fraction(0), Fraction(0))
    gap: int = 0

    def lattice(self) -> Lattice:
        return built(self.pattern, self.joint, **self.tile, **self.own)

    def surface(self) -> Surface:
        ring = tuple((x * MM, y * MM) for x, y in self.outer)
        holes = tuple(tuple((x * MM, y * MM) for x, y in hole) for hole in self.holes)
        return Surface(outer=ring, holes=holes).checked()

    def tally(self) -> Tally:
        x, y = self.origin
        set_out = SetOut(origin=(int(x * MM), int(y * MM)), angle=self.angle)
        rules = Rules(gap=self.gap * MM)
        return count(self.surface(), self.lattice(), set_out, rules)

    def slow(self, eps: float, *, hair: float = 0.0) -> SlowCount:
        x, y = self.origin
        return slow_count(
            self.outer,
            self.holes,
            pattern=self.pattern,
            tile=self.tile,
            joint=float(Fraction(self.joint)),
            origin=(int(x * MM) / MM, int(y * MM) / MM),
            angle=float(self.angle),
            gap=self.gap,
            eps=eps,
            hair=hair,
            params={
                name: value if isinstance(value, bool) else float(value)
                for name, value in self.own.items()
            },
        )


def is_out_of_square(case: Case) -> bool:
    """Return whether a side of the outline runs along neither axis."""
    following = (*case.outer[1:], case.outer[0])
    return any(
        a[0] != b[0] and a[1] != b[1]
        for a, b in zip(case.outer, following, strict=True)
    )


def stands_on_a_wall(tally: Tally) -> bool:
    """Return whether an edge of the first face lies along a side of the region."""
    lattice, set_out = tally.lattice, tally.set_out
    face = lattice.faces[0]
    corners = np.array(
        [
            set_out.origin
            + np.array(
                turned(np.add(face.at, turned(corner, face.turn)), set_out.angle)
            )
            for corner in lattice.items[face.item].outline
        ]
    )
    ends = np.roll(corners, -1, axis=0)
    for x1, y1, x2, y2 in tally.sides:
        length = math.hypot(x2 - x1, y2 - y1)
        along = np.array([x2 - x1, y2 - y1]) / length
        across = np.array([-along[1], along[0]])
        off = np.abs([(corners - (x1, y1)) @ across, (ends - (x1, y1)) @ across])
        at = np.sort([(corners - (x1, y1)) @ along, (ends - (x1, y1)) @ along], axis=0)
        shared = np.minimum(at[1], length) - np.maximum(at[0], 0)
        if ((off.max(axis=0) < 1e-3) & (shared > MM)).any():
            return True
    return False


def sizes(tally: Tally) -> list[tuple[str, float, float]]:
    """Return every piece as item, width and height in millimetres, in order."""
    return sorted(
        (tally.lattice.items[piece.item].name, piece.width / MM, piece.height / MM)
        for piece in tally.pieces
        for _ in range(piece.count)
    )


def is_same(tally: Tally, slow: SlowCount) -> bool:
    """Return whether both counts, all pieces and the area of the pieces agree."""
    names = [item.name for item in tally.lattice.items]
    mine, theirs = sizes(tally), sorted(piece[:3] for piece in slow.pieces)
    area = sum(piece.area * piece.count for piece in tally.pieces) / MM**2
    return (
        dict(zip(names, tally.full, strict=True)) == slow.full
        and dict(zip(names, tally.cut, strict=True)) == slow.cut
        and len(mine) == len(theirs)
        and abs(sum(w * h for _, w, h in mine) - sum(w * h for _, w, h in theirs))
        < 0.6 * (1 + len(mine))
        and abs(area - sum(piece[3] for piece in slow.pieces)) < 0.01 * (1 + len(mine))
        and sum(p.count for p in tally.absorbed) == len(slow.absorbed)
    )


def verdict(case: Case, tally: Tally) -> str:
    """Return `same`, `differs`, or `within` when the tolerance decides the count.

    Where half or twice the tolerance counts differently, nothing can be checked.
    """
    if is_same(tally, case.slow(0.05)):
        return "same"
    slow = case.slow(0.05, hair=HAIR)
    if is_same(tally, slow):
        return "same"
    if slow.doubtful:
        return "within"
    for eps in (0.025, 0.1):
        near = case.slow(eps, hair=HAIR)
        if near.doubtful or (near.full, near.cut, len(near.pieces)) != (
            slow.full,
            slow.cut,
            len(slow.pieces),
        ):
            return "within"
    return "differs"


def random_tile(rng: random.Random) -> dict[str, object]:
    """Return a pattern with a tile and the parameters it takes."""
    key = rng.choice(PATTERNS)
    joint = rng.choice(["0", "1.5", "2", "3", "5"])
    width = rng.randint(40, 300)
    length = rng.randint(width, 620)
    own: dict[str, Fraction | bool] = {}
    tile = {"length": length, "width": width}
    if key == "running_bond":
        own["offset"] = Fraction(rng.randint(0, 11), 12)
        own["returning"] = rng.random() < 0.5
    elif key == "herringbone":
        own["n"] = Fraction(rng.randint(1, 2))
        tile["length"] = max(length, int(own["n"]) * (width + 5))
    elif key == "basketweave":
        n = rng.randint(2, 3)
        own["n"] = Fraction(n)
        # A longer tile would leave wide joints in a bundle, and is refused.
        tile["length"] = n * width + rng.randint(0, min(n * 5, (n - 1) * width // 5))
    elif key in CENTRED:
        tile = {"across": length}
    elif key == "hopscotch":
        tile = {"length": length, "small": width}
    elif key == "windmill":
        tile["length"] = max(length, width + 30)
    elif key == "modular":
        tile = {"module": width}
    elif key == "chevron":
        own["slope"] = Fraction(rng.randint(20, 60))
    return {"pattern": key, "joint": joint, "tile": tile, "own": own}


def random_case(rng: random.Random) -> tuple[Case, Tally]:
    """Return one random room of up to MOST_TILES tiles with its count.

    A hole that reaches out of a star or a room of too many tiles is drawn anew.
    """
    while True:
        case = _drawn(rng)
        try:
            tally = case.tally()
        except BadShape:
            continue
        if tally.no_reuse <= MOST_TILES:
            return case, tally


def _drawn(rng: random.Random) -> Case:
    laid = random_tile(rng)
    lattice = built(laid["pattern"], laid["joint"], **laid["tile"], **laid["own"])
    wide, high = _room(rng, lattice)
    holes = _holes(rng, wide, high) if rng.random() < 5 / 9 else ()
    is_askew = rng.random() < 2 / 7
    is_turned = rng.random() < 1 / 3
    on_wall = rng.random() < 1 / 5
    gap = rng.choice([0, 0, 0, 4])
    if on_wall and is_turned and rng.random() < 1 / 2:
        outer, gap = _bevelled(rng, wide, high), 0
        angle, origin = Fraction(45), tuple(map(Fraction, outer[0]))
        holes = ()
    else:
        outer = _outline(rng, wide, high, is_askew=is_askew, on_wall=on_wall)
        angle = _angle(rng, on_wall=on_wall) if is_turned else Fraction(0)
        origin = (
            Fraction(rng.randint(0, 5 * wide), 10),
            Fraction(rng.randint(0, 5 * high), 10),
        )
        if on_wall:
            origin = _on_wall(rng, laid, origin, gap)
    return Case(outer=outer, holes=holes, angle=angle, origin=origin, gap=gap, **laid)


def _room(rng: random.Random, lattice: Lattice) -> Corner:
    """Return width and height of a room of so many tiles."""
    (ux, uy), (vx, vy) = lattice.u, lattice.v
    each = abs(ux * vy - uy * vx) / len(lattice.faces) / MM**2
    area = each * rng.randint(3, 270)
    shape = math.exp(rng.uniform(-0.9, 0.9))
    return max(30, round(math.sqrt(area * shape))), max(
        30, round(math.sqrt(area / shape))
    )


def _holes(rng: random.Random, wide: int, high: int) -> tuple[Corners, ...]:
    """Return one or two holes: oblong, askew or three-cornered, in the lower left."""
    x, y = wide // 8, high // 8
    right, top = rng.randint(x + 3, wide // 3 + 3), rng.randint(y + 3, high * 2 // 5)
    box = [(x, y), (right, y), (right, top), (x, top)]
    kind = rng.random()
    if kind < 1 / 4:
        box = box[:3]
    elif kind < 1 / 2:
        box[2] = (right - min(9, (right - x) // 2), top)
    holes = [tuple(box)]
    if rng.random() < 1 / 3:
        low = max(top + 20, high * 2 // 5)
        if low + 10 < high * 4 // 5 and wide > 60:
            holes.append(((x, low), (x + 9, low), (x + 9, low + 9), (x, low + 9)))
    return tuple(holes)


def _outline(
    rng: random.Random, wide: int, high: int, *, is_askew: bool, on_wall: bool
) -> Corners:
    """Return an outline; on a wall, the left and the lower wall stay square."""
    corners = [(0, 0), (wide, 0), (wide, high), (0, high)]
    kind = rng.random()
    if kind < 1 / 4:
        x, y = wide * 2 // 5, high // 2
        corners = [(0, 0), (wide, 0), (wide, y), (x, y), (x, high), (0, high)]
    elif kind < 1 / 3 and not on_wall:
        return _star(rng, wide, high)
    if not is_askew:
        return tuple(corners)
    return tuple(
        (
            x + (0 if on_wall and x == 0 else rng.randint(-9, 9)),
            y + (0 if on_wall and y == 0 else rng.randint(-9, 9)),
        )
        for x, y in corners
    )


def _star(rng: random.Random, wide: int, high: int) -> Corners:
    count_of = rng.randint(3, 9)
    ring = []
    for k in range(count_of):
        reach, turn = rng.uniform(0.2, 0.5), 2 * math.pi * k / count_of
        ring.append(
            (
                round(wide * (0.5 + reach * math.cos(turn))),
                round(high * (0.5 + reach * math.sin(turn))),
            )
        )
    return tuple(ring)


def _bevelled(rng: random.Random, wide: int, high: int) -> Corners:
    """Return a room with a wall at 45 degrees, from its first corner to its last."""
    cut = rng.randint(10, min(wide, high) - 10)
    return ((cut, 0), (wide, 0), (wide, high), (0, high), (0, cut))


def _angle(rng: random.Random, *, on_wall: bool) -> Fraction:
    if on_wall:
        return Fraction(rng.choice((90, 180, 270)))
    odd = Fraction(rng.randint(-890, 890), 10)
    return rng.choice((Fraction(45), Fraction(30), Fraction(90), odd, odd))


def _on_wall(
    rng: random.Random,
    laid: dict[str, object],
    origin: tuple[Fraction, Fraction],
    gap: int,
) -> tuple[Fraction, Fraction]:
    """Return an origin that puts an edge of the first face on the left or lower wall.

    The gap moves walls inwards; a face of a centred pattern begins half across. A
    hexagon and a chevron have edges one way only, so both walls are taken.
    """
    half = Fraction(next(iter(laid["tile"].values())), 2)
    wall = Fraction(gap) + (half if laid["pattern"] in CENTRED else 0)
    walls = rng.choice(("left", "lower", "both"))
    if laid["pattern"] in ("hexagon", "chevron"):
        walls = "both"
    return (
        wall if walls != "lower" else origin[0],
        wall if walls != "left" else origin[1],
    )
