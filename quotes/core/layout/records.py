"""What goes into a layout and what comes out of it, as plain frozen records.

Units: ticks (1 tick = 1/1920 mm) and square ticks throughout.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction
from typing import Literal

from materials.core.errors import OutOfRange
from materials.core.lengths import MM
from materials.core.quantities import whole_units
from quotes.core.geometry import (
    Floats,
    Ints,
    Region,
    TickPoint,
    TickRing,
    check_holes,
    check_ring,
    region,
    surface_area,
)
from quotes.core.pattern import Lattice

EdgeKind = Literal["wall", "exposed", "threshold", "fold"]
EDGE_KINDS: tuple[EdgeKind, ...] = ("wall", "exposed", "threshold", "fold")


@dataclass(frozen=True, slots=True, kw_only=True)
class Rules:
    """How cuts are made and which differences are too small to matter.

    `tolerance` decides touching and full everywhere (5/100 mm by default); `kerf` is
    the width of the blade; `gap` is left free along every edge; `directional` tiles
    are never turned; `slide` lets a piece without a factory edge in a direction move
    along it.
    """

    tolerance: int = MM // 20
    kerf: int = 0
    gap: int = 0
    directional: bool = False
    slide: bool = False

    def __post_init__(self) -> None:
        for name in ("tolerance", "kerf", "gap"):
            if getattr(self, name) < 0:
                raise OutOfRange(f"{name} is below 0; give 0 or more.", field=name)

    @property
    def least_area(self) -> int:
        """Parts below 10 mm × tolerance are dropped."""
        return 10 * MM * self.tolerance


@dataclass(frozen=True, slots=True, kw_only=True)
class Surface:
    """A flat polygon with holes, x to the right and y up, each in its own place.

    `edges` says what each side of `outer` meets; empty means walls all round.
    """

    outer: TickRing
    holes: tuple[TickRing, ...] = ()
    edges: tuple[EdgeKind, ...] = ()
    name: str = ""

    def checked(self, *, path: str = "surface") -> Surface:
        """Return the surface, refusing outlines that are none.

        Raises: BadShape naming the ring.
        """
        check_ring(self.outer, field=f"{path}.outer")
        for index, hole in enumerate(self.holes):
            check_ring(hole, field=f"{path}.holes[{index}]")
        check_holes(self.outer, self.holes, field=f"{path}.holes")
        if self.edges and len(self.edges) != len(self.outer):
            raise OutOfRange(
                f"{path}.edges has {len(self.edges)} entries for "
                f"{len(self.outer)} sides; give one for each side of outer.",
                field=f"{path}.edges",
            )
        return self

    @property
    def area(self) -> Fraction:
        """The area in square ticks, exactly."""
        return surface_area(self.outer, self.holes)

    @property
    def exposed_length_squared(self) -> tuple[int, ...]:
        """The squared length of every exposed side, exactly."""
        following = (*self.outer[1:], self.outer[0])
        return tuple(
            (x2 - x1) ** 2 + (y2 - y1) ** 2
            for kind, (x1, y1), (x2, y2) in zip(
                self.edges, self.outer, following, strict=False
            )
            if kind == "exposed"
        )

    def region(self, rules: Rules) -> Region:
        """Return what is left to tile after the gap along every edge."""
        return region(self.outer, self.holes, gap=rules.gap)


def rectangle(
    width: int, height: int, *, holes: tuple[TickRing, ...] = (), name: str = ""
) -> Surface:
    """Return a rectangular surface with its lower left corner at zero, in ticks."""
    outer = ((0, 0), (width, 0), (width, height), (0, height))
    return Surface(outer=outer, holes=holes, name=name)


def box(x: int, y: int, width: int, height: int) -> TickRing:
    """Return a rectangular ring, such as an opening, from its lower left corner."""
    return ((x, y), (x + width, y), (x + width, y + height), (x, y + height))


@dataclass(frozen=True, slots=True, kw_only=True)
class SetOut:
    """Where the pattern stands: its origin in the surface and its angle in degrees."""

    origin: TickPoint = (0, 0)
    angle: Fraction = Fraction(0)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PieceClass:
    """Pieces that are alike: one outline in the tile's frame, so many times.

    `area` leaves out holes inside the piece; `outline` is its outer edge in ticks.
    `places` has one row a piece: face, i, j of the position it lies in.
    """

    item: int
    outline: TickRing
    area: int
    count: int
    places: Ints = field(repr=False)

    @property
    def width(self) -> int:
        """The side of the bounding rectangle along the tile's length."""
        across = [x for x, _ in self.outline]
        return max(across) - min(across)

    @property
    def height(self) -> int:
        """The side of the bounding rectangle across the tile's length."""
        up = [y for _, y in self.outline]
        return max(up) - min(up)

    @property
    def smallest_side(self) -> int:
        """The smaller side of the bounding rectangle."""
        across, up = zip(*self.outline, strict=True)
        wide, high = max(across) - min(across), max(up) - min(up)
        return int(wide if wide < high else high)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Tally:
    """Every tile of one surface: whole ones counted, cut ones with their pieces.

    Shape: `full` and `cut` have one count an item of the lattice. `tiled_area` is the
    region inside the gap, `sides` its sides; `laid_area` is what the tiles cover of it.
    `met_places` are all positions a side cuts, slivers included.
    """

    surface: Surface
    lattice: Lattice
    set_out: SetOut
    full: tuple[int, ...]
    cut: tuple[int, ...]
    pieces: tuple[PieceClass, ...]
    absorbed: tuple[PieceClass, ...]
    tiled_area: Fraction
    laid_area: Fraction
    sides: Floats = field(repr=False)
    met_places: Ints = field(repr=False)

    @property
    def full_count(self) -> int:
        """Whole tiles of all items."""
        return sum(self.full)

    @property
    def cut_count(self) -> int:
        """Positions where a tile is cut, of all items."""
        return sum(self.cut)

    @property
    def no_reuse(self) -> int:
        """Tiles when every cut position takes a new tile."""
        return self.full_count + self.cut_count

    @property
    def least_tiles(self) -> int:
        """What no plan of this surface alone can go below, at a glance.

        Whole tiles, and of each item the area of its pieces or how many are larger
        than half a tile.
        """
        total = self.full_count
        for rank, item in enumerate(self.lattice.items):
            pieces = [piece for piece in self.pieces if piece.item == rank]
            area = sum(piece.area * piece.count for piece in pieces)
            large = sum(piece.count for piece in pieces if 2 * piece.area > item.area)
            total += max(large, whole_units(Fraction(area), item.area))
        return total

    @property
    def joint_area(self) -> Fraction:
        """What the tiles leave of the region: joints and absorbed slivers."""
        return self.tiled_area - self.laid_area

    @property
    def joint_length(self) -> Fraction:
        """The length of joint, as the joint area over its width; 0 without joint."""
        if not self.lattice.joint:
            return Fraction(0)
        return self.joint_area / self.lattice.joint

    @property
    def smallest_cut(self) -> int | None:
        """The smallest side of any piece, None without pieces."""
        return min((piece.smallest_side for piece in self.pieces), default=None)
