"""What every laying pattern must do: turn a tile and a joint into a lattice of faces.

A pattern is two basis vectors and a short list of convex faces. Faces exclude the
joint; the joint stays constant because it sits in the lattice. Each face says which
item it is and how that item's own outline is turned and moved to get there, so that
every cut piece can be told in the frame of the tile it is cut from.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from materials.core.errors import OutOfRange, Refusal
from quotes.core.geometry import (
    Number,
    Point,
    area_in_all,
    grown,
    largest_overlap,
    outline_area,
    turned,
)

OBLONG_TURNS = (0, 180)
SQUARE_TURNS = (0, 90, 180, 270)
HEXAGON_TURNS = (0, 60, 120, 180, 240, 300)
_TICKS_OFF = 3
"""Ticks by which the corners of a turned face may be off."""

OCTAGON_TURNS = (0, 45, 90, 135, 180, 225, 270, 315)


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """One thing that is bought: an outline in its own frame and its symmetry.

    Units: ticks. `outline` is convex and counter-clockwise. `turns` are the degrees,
    about `centre`, that lay the outline on itself; only proper turns, because a
    glazed face cannot be laid face down.
    """

    name: str
    outline: tuple[Point, ...]
    turns: tuple[int, ...]
    centre: Point
    is_oblong: bool

    @property
    def area(self) -> Fraction:
        """The area of one face in square ticks."""
        return _area_of(self.outline)

    def turned(self, point: Point, turn: int) -> Point:
        """Return where a point of the item comes to lie after one of its turns."""
        x, y = turned((point[0] - self.centre[0], point[1] - self.centre[1]), turn)
        return x + self.centre[0], y + self.centre[1]


@lru_cache(maxsize=256)
def _area_of(outline: tuple[Point, ...]) -> Fraction:
    """Return the area of an outline; asked for again with every set-out tried."""
    return Fraction(outline_area(outline))


@dataclass(frozen=True, slots=True, kw_only=True)
class Face:
    """One tile of the repeating cell: an item, turned, its frame's zero point at `at`.

    Units: ticks; `turn` in degrees, counter-clockwise.
    """

    item: int
    at: Point
    turn: Fraction | int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Lattice:
    """A pattern made for one tile and one joint.

    Units: ticks. `u` and `v` carry the cell over the plane. `pitch` is the step from
    one tile to the next along each axis, for placing a tile or a joint in the middle;
    `middle` is the centre of the first face. `widest_joint` exceeds `joint` only
    where the tile's own ratio forces it (`note` then says so).
    """

    u: Point
    v: Point
    items: tuple[Item, ...]
    faces: tuple[Face, ...]
    joint: int
    pitch: Point
    middle: Point
    widest_joint: Number = 0
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Parameter:
    """One number or switch of a pattern, as a form or a file names it."""

    name: str
    kind: str
    help: str
    default: Fraction | bool | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Pattern:
    """A registered laying pattern.

    `tile_keys` are the lengths that describe its tile; `build` makes the lattice from
    them (ticks), the joint (ticks) and the parameters. `least_cut` says which share
    of a tile can always be kept as the smallest cut, None where nobody can promise.
    """

    key: str
    label: str
    tile_keys: tuple[str, ...]
    build: Callable[[Mapping[str, int], int, Mapping[str, Fraction | bool]], Lattice]
    parameters: tuple[Parameter, ...] = ()
    least_cut: Callable[[Mapping[str, Fraction | bool]], Fraction | None] = lambda _: (
        None
    )


def oblong(name: str, length: int, width: int) -> Item:
    """Return a rectangular item, its lower left corner at zero, length along x."""
    return Item(
        name=name,
        outline=((0, 0), (length, 0), (length, width), (0, width)),
        turns=SQUARE_TURNS if length == width else OBLONG_TURNS,
        centre=(length / 2, width / 2),
        is_oblong=True,
    )


def flat(item: int, x: Number, y: Number) -> Face:
    """Return an oblong laid along x with its lower left corner at (x, y)."""
    return Face(item=item, at=(x, y))


def upright(item: int, x: Number, y: Number, *, width: int) -> Face:
    """Return an oblong stood on end, the lower left corner of what shows at (x, y)."""
    return Face(item=item, at=(x + width, y), turn=90)


def made(
    pattern: Pattern,
    tile: Mapping[str, int],
    joint: int,
    parameters: Mapping[str, Fraction | bool],
) -> Lattice:
    """Return the lattice of a pattern after checking what every pattern must hold.

    Units: ticks.
    Every lattice is proven before it is used: see `check_tessellation`.

    Raises: OutOfRange for a size that is not positive, a joint below zero or wider
    than the tile, a parameter left out; whatever the pattern itself refuses.
    """
    for key in pattern.tile_keys:
        if key not in tile:
            raise OutOfRange(
                f"The pattern {pattern.key} needs tile.{key}; give it.",
                field=f"tile.{key}",
            )
        if tile[key] <= 0:
            raise OutOfRange(
                f"tile.{key} must be more than 0; measure the face of the tile.",
                field=f"tile.{key}",
            )
    if joint < 0:
        raise OutOfRange("joint is below 0; give 0 or more.", field="joint")
    if joint >= min(tile[key] for key in pattern.tile_keys):
        raise OutOfRange(
            "joint is as wide as the tile; give the joint between two faces.",
            field="joint",
        )
    chosen = {p.name: p.default for p in pattern.parameters if p.default is not None}
    chosen.update(parameters)
    for parameter in pattern.parameters:
        if parameter.name not in chosen:
            raise OutOfRange(
                f"The pattern {pattern.key} needs pattern.{parameter.name}: "
                f"{parameter.help}.",
                field=f"pattern.{parameter.name}",
            )
    lattice = pattern.build(tile, joint, chosen)
    check_tessellation(lattice)
    return lattice


def check_tessellation(lattice: Lattice) -> None:
    """Refuse faces that overlap, leave a hole, or stand in joints of two widths.

    Faces grown by half a joint must not overlap and must add up to the cell: then
    they cover the plane and every joint is the joint. Where the tile's own ratio
    widens a joint (`widest_joint`), faces grown by half of that must fill the cell.

    Raises: OutOfRange; no registered pattern gives cause.
    Method: exact but for the corners of turned faces, which may be off by a tick.
    """
    rings = [
        tuple(_moved(turned(corner, face.turn), face.at) for corner in item.outline)
        for face in lattice.faces
        for item in (lattice.items[face.item],)
    ]
    # A few ticks short of touching: of two faces that share an edge to the last bit,
    # the geometry library now and then answers with a whole face as their overlap.
    shapes = grown(rings, lattice.joint / 2 - _TICKS_OFF)
    pairs, moves = _neighbours(lattice, rings)
    (a, b), (c, d) = lattice.u, lattice.v
    cell = abs(a * d - b * c)
    # A tick all round the largest face of the cell.
    spare = sum(abs(step) for step in (a, b, c, d)) * _TICKS_OFF
    widest = max(lattice.joint, lattice.widest_joint)
    filled = area_in_all(grown(rings, widest / 2))
    is_even = widest == lattice.joint
    if (
        largest_overlap(shapes, pairs, moves) > spare
        or filled < cell - spare * len(rings)
        or (is_even and filled > cell + spare * len(rings))
    ):
        raise OutOfRange(
            "pattern does not close with this tile and joint; check their sizes.",
            field="pattern",
        )


def _moved(point: Point, by: Point) -> Point:
    return point[0] + by[0], point[1] + by[1]


def _neighbours(
    lattice: Lattice, rings: Sequence[Sequence[Point]]
) -> tuple[list[tuple[int, int]], list[Point]]:
    """Return pairs of faces and moves of the second that bring both together."""
    (a, b), (c, d) = lattice.u, lattice.v
    cell = a * d - b * c
    boxes = [_box(ring, lattice.joint) for ring in rings]
    pairs: list[tuple[int, int]] = []
    moves: list[Point] = []
    for first, (x0, y0, x1, y1) in enumerate(boxes):
        for second, (x2, y2, x3, y3) in enumerate(boxes[: first + 1]):
            # The corners of all moves that let the two boxes meet, in basis steps.
            ends = [(x, y) for x in (x0 - x3, x1 - x2) for y in (y0 - y3, y1 - y2)]
            along = [(x * d - y * c) / cell for x, y in ends]
            up = [(a * y - b * x) / cell for x, y in ends]
            for i in range(int(min(along)) - 1, int(max(along)) + 2):
                for j in range(int(min(up)) - 1, int(max(up)) + 2):
                    x, y = i * a + j * c, i * b + j * d
                    meets = x0 < x3 + x and x2 + x < x1 and y0 < y3 + y and y2 + y < y1
                    if meets and (first != second or (i, j) > (0, 0)):
                        pairs.append((first, second))
                        moves.append((x, y))
    return pairs, moves


def _box(ring: Sequence[Point], joint: int) -> tuple[Number, Number, Number, Number]:
    """Return the bounding rectangle of a face and the joint about it."""
    across = [x for x, _ in ring]
    up = [y for _, y in ring]
    return min(across) - joint, min(up) - joint, max(across) + joint, max(up) + joint


def whole_number(
    parameters: Mapping[str, Fraction | bool], name: str, *, least: int, most: int
) -> int:
    """Return a parameter that must be a whole number within limits."""
    value = Fraction(parameters[name])
    if value.denominator != 1 or not least <= value <= most:
        raise OutOfRange(
            f"pattern.{name} is {value}; give a whole number from {least} to {most}.",
            field=f"pattern.{name}",
        )
    return int(value)


def refuse_ratio(sentence: str, *, field: str = "tile") -> Refusal:
    """Return the refusal of a tile whose ratio the pattern does not allow."""
    return OutOfRange(sentence, field=field)
