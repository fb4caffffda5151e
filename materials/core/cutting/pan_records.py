"""The records of the sloped floor: recess, drain, pans, the rule, and each way found.

All lengths inside are ticks (1/1920 mm), whole or fractional, so that heights on a
slope stay exact; `Length` stands where a person typed or reads a figure.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from moneyed import Money

from materials.core.cutting.pan_heights import Surface
from materials.core.cutting.pan_outlines import Point, Region, Ring, root, whole
from materials.core.lengths import NOTHING, Length
from materials.core.sources import Source

LINEAR = "linear"
POINT = "point"

WALL = "wall"
CORNER = "corner"

ONE_PAN = "one_pan"
TWO_PANS = "two_pans"
PAN_AND_BOARD = "pan_and_board"
MORTAR = "mortar"
WAY_KINDS = (ONE_PAN, TWO_PANS, PAN_AND_BOARD, MORTAR)

DRAIN_EDGE = "drain"
FAR_EDGE = "far"
LEFT_EDGE = "left"
RIGHT_EDGE = "right"
PAN_SIDES = (DRAIN_EDGE, RIGHT_EDGE, FAR_EDGE, LEFT_EDGE)
"""The sides of a pan, counter-clockwise from its drain edge, seen looking uphill."""

LABOUR = {
    ONE_PAN: "set_pan",
    TWO_PANS: "set_two_pans",
    PAN_AND_BOARD: "set_pan_and_board",
    MORTAR: "float_mortar_bed",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class SlopeRule:
    """How little and how much a floor may fall, and along which run it is measured.

    `run` is "wall" (plane fall, straight from the wall to the drain) or "corner" (to
    the farthest corner: the least fall is asked for there, the greatest on the plane).
    """

    least: Fraction
    most: Fraction
    run: str = WALL
    source: Source | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class LinearDrain:
    """A drain along one side: `start` is measured from that side's first corner."""

    side: int
    start: Length
    length: Length


@dataclass(frozen=True, slots=True, kw_only=True)
class PointDrain:
    """A drain at one place in the floor."""

    at: Point


@dataclass(frozen=True, slots=True, kw_only=True)
class Recess:
    """The floor to slope: its outline, its drain, and the areas to leave flat.

    `lowest` is the least thickness over the drain: body, flange and bed together.
    Outline and flats are points in ticks, in either direction. `scale` divides the
    tick for a job that needs it (thousandths of an inch): then every length of the
    job, its stock included, is counted in that part of a tick.
    """

    outline: tuple[Point, ...]
    drain: LinearDrain | PointDrain
    flats: tuple[tuple[Point, ...], ...] = ()
    lowest: Length = NOTHING
    system: str = "imperial"
    scale: int = 1

    @classmethod
    def rectangle(
        cls,
        *,
        width: Length,
        depth: Length,
        drain: LinearDrain | PointDrain,
        lowest: Length = NOTHING,
        system: str = "imperial",
    ) -> Recess:
        """Return a rectangular recess, corner 0 at its lower left, side 0 below."""
        w, d = width.ticks, depth.ticks
        return cls(
            outline=((0, 0), (w, 0), (w, d), (0, d)),
            drain=drain,
            lowest=lowest,
            system=system,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Pan:
    """A factory pan as the price list has it.

    It falls along `depth` to its drain edge; `thin` is where the slope begins,
    `thick` the far edge; `strip` is the flat part at the drain edge, part of the
    depth and `strip_drop` lower. A point pan falls from a level rim (`thick`) to
    `drain_at` (`thin`). `trim` names the sides that may be cut; `count` None is as
    many as wanted.
    """

    name: str
    kind: str
    width: Length
    depth: Length
    thin: Length
    thick: Length
    price: Money
    strip: Length = NOTHING
    strip_drop: Length = NOTHING
    drain_at: tuple[Length, Length] | None = None
    trim: frozenset[str] = frozenset(PAN_SIDES)
    count: int | None = None

    @property
    def sloping(self) -> Length:
        """The part of the depth that slopes."""
        return self.depth - self.strip

    @property
    def slope(self) -> Fraction:
        """The factory fall of a linear pan, as rise over run."""
        return (self.thick - self.thin) / self.sloping


@dataclass(frozen=True, slots=True, kw_only=True)
class FlatBoard:
    """A flat board that can carry a fixture's base."""

    name: str
    width: Length
    depth: Length
    thickness: Length
    price: Money
    count: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Mortar:
    """A mortar bed: price of one cubic tick, exactly, and its least thickness.

    `bag` is the volume one bag makes and `density` the mass of a cubic metre of the
    set bed; both may be unknown.
    """

    price_per_cubic_tick: Fraction
    least: Length
    currency: str
    bag: Fraction | None = None
    kg_per_cubic_metre: Fraction | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """What may be bought: pans, boards, mortar, and what offcut is worth keeping.

    `leftover` is the smallest trimmed-off rectangle that goes to the rack, or None
    when nothing does.
    """

    pans: tuple[Pan, ...] = ()
    boards: tuple[FlatBoard, ...] = ()
    mortar: Mortar | None = None
    leftover: tuple[Length, Length] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Trim:
    """One side of a pan and how much is cut off there at most, in ticks."""

    side: str
    amount: Fraction


@dataclass(frozen=True, slots=True, kw_only=True)
class PanPiece:
    """One pan as it lies: where, how it is turned and what of it is kept.

    `at` is the corner of the pan that is lower left after `turn` (degrees, counter-
    clockwise, quarter turns); `along` is the way its drain edge runs, exactly square
    or as the drain side runs. `keep` is the kept outline in the recess, `keep_on_pan`
    the same in the pan's own frame (x along its drain edge, y uphill): the line to
    cut. Areas are square ticks. `slice_from` and `slice_to` say how far up the slope
    the kept part begins and ends.
    """

    pan: Pan
    turn: int
    at: Point
    corners: Ring
    keep: Region
    keep_on_pan: Region
    used: Fraction
    trimmed: Fraction
    racked: Fraction
    trimmed_money: Money
    rack_money: Money
    slice_from: Fraction
    slice_to: Fraction
    trims: tuple[Trim, ...]

    @property
    def trimmed_share(self) -> Fraction:
        """The share of the pan's plan area that is cut off."""
        return self.trimmed / (self.used + self.trimmed)


@dataclass(frozen=True, slots=True, kw_only=True)
class BoardPiece:
    """The boards bought for one flat area."""

    board: FlatBoard
    outline: Ring
    count: int
    area: Fraction


@dataclass(frozen=True, slots=True, kw_only=True)
class Bed:
    """A mortar bed: its exact volume in cubic ticks, and what that means."""

    volume: Fraction
    least: Fraction
    most: Fraction
    bags: int | None
    kg: Fraction | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Height:
    """The floor's height above the substrate at a named place, in ticks, exactly.

    `where` is "corner" (with its number in the outline) or "drain" (an end of it, or
    the point). `ticks` is None at a corner of a flat area that is left as it is.
    """

    where: str
    index: int
    at: Point
    ticks: Fraction | None

    @property
    def length(self) -> Length | None:
        """The height to the nearest tick."""
        return None if self.ticks is None else Length(whole(self.ticks))


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """The fall along one run: to a wall or a corner, its length and slope.

    `index` is the number of the recess's side or corner; None for one that a flat area
    makes. `at` is the corner, or where the run meets a wall.
    `square` is the run's length squared, exactly: the length itself may be irrational.
    """

    to: str
    index: int | None
    at: Point
    square: Fraction
    rise: Fraction

    @property
    def ticks(self) -> Fraction:
        """The run's length; an irrational one as `root` cuts it."""
        return root(self.square)

    @property
    def slope(self) -> Fraction:
        """Rise over run; 0 for no run."""
        return self.rise / self.ticks if self.square else Fraction(0)

    def falls_at_least(self, least: Fraction) -> bool:
        """Return whether the run falls so much, decided exactly."""
        return self.rise**2 >= least**2 * self.square


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """A difference of height along a line: from and to, up is positive, in ticks."""

    where: str
    start: Point
    end: Point
    at_start: Fraction
    at_end: Fraction


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """One feasible way to make the sloped floor, priced, with its working."""

    kind: str
    name: str
    cost: Money
    pieces: tuple[PanPiece, ...]
    boards: tuple[BoardPiece, ...]
    bed: Bed | None
    slope: Fraction
    runs: tuple[Run, ...]
    valley: Run
    heights: tuple[Height, ...]
    steps: tuple[Step, ...]
    used: Fraction
    trimmed: Fraction
    trimmed_money: Money
    rack_money: Money
    labour: str
    sentence: str
    cautions: tuple[str, ...]
    surface: Surface

    @property
    def trimmed_share(self) -> Fraction:
        """The share of the bought pans' plan area that is cut off; 0 without pans."""
        whole = self.used + self.trimmed
        return self.trimmed / whole if whole else Fraction(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class RefusedPan:
    """A pan, or a pair or a bed, that does not do, and the reason in one sentence."""

    pan: str
    turn: int | None
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Fit:
    """Every way found, cheapest first, and every refusal."""

    ways: tuple[Way, ...]
    refused: tuple[RefusedPan, ...]
