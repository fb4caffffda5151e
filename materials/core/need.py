"""What a layer has to cover, and what it therefore needs, before packs.

An `Extent` is one layer on one region: shape, edges and neighbours, already moved to
the face on which the layer lies. A kind turns extents into a `Need`: a quantity in
the kind's unit with its working. Packs come afterwards, pooled over the whole job.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction

from materials.core.areas import NO_AREA, Area
from materials.core.lengths import NOTHING, Length
from materials.core.sources import Source

EDGE_KINDS = ("wall", "exposed", "threshold", "fold")
SUPPLIERS = ("us", "client", "others")

Point = tuple[int, int]
"""A corner in ticks: x to the right, y up."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One line of working: what was taken, how, what came out, where it is printed.

    `label` names the quantity, `formula` shows the sum with its figures, `result`
    is the outcome with its unit, all ready to be read.
    """

    label: str
    formula: str = ""
    result: str = ""
    source: Source | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Edge:
    """One side of an outline: its kind and its length."""

    kind: str
    length: Length


@dataclass(frozen=True, slots=True, kw_only=True)
class Recess:
    """What a sloped floor must know beside its outline.

    `drain` holds kind, side, start, length or point in ticks; `flat` outlines stay
    level; `slope_min` and `slope_max` are falls (1/48); `lowest` is the least edge
    over the drain.
    """

    drain: Mapping[str, object]
    flat: tuple[tuple[Point, ...], ...] = ()
    slope_min: Fraction = Fraction(1, 48)
    slope_max: Fraction = Fraction(1, 24)
    lowest: Length = NOTHING


@dataclass(frozen=True, slots=True, kw_only=True)
class TileFacts:
    """The tile a bed, grout or trim goes with: work size, thickness, joint.

    `share` is the part of the surface that is joint where several sizes are laid
    together, nought where it follows from this one.
    """

    length: Length
    width: Length
    thickness: Length
    joint: Length
    chip_length: Length = NOTHING
    chip_width: Length = NOTHING
    share: Fraction = Fraction(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Extent:
    """One layer on one region of a surface.

    Shape: `outline` counter-clockwise, `holes` clockwise or not, both in ticks at the
    face of this layer; `edges` one per side of the outline. `inside_corners` and
    `outside_corners` are the metres of change of plane counted with this extent
    (each shared corner once over the whole job), `corner_runs` the same run by run
    where they are known, `perimeter` the metres of edge
    against something that is not tiled. `volume` is what the layer fills, in litres,
    where it is not area by thickness. `reveals` are the outlines of openings that
    get a profile. `times` repeats the whole.
    """

    place: str
    role: str
    outline: tuple[Point, ...]
    holes: tuple[tuple[Point, ...], ...] = ()
    area: Area = NO_AREA
    edges: tuple[Edge, ...] = ()
    inside_corners: Length = NOTHING
    outside_corners: Length = NOTHING
    corner_runs: tuple[Length, ...] = ()
    perimeter: Length = NOTHING
    volume: Fraction | None = None
    reveals: tuple[Length, ...] = ()
    cut_outs: int = 0
    times: int = 1
    exposure: str = "dry"
    use: str = ""
    tile: TileFacts | None = None
    recess: Recess | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class RackPiece:
    """A kept rectangle of a material that plans may use up.

    `mark` is what is written on it, `words` say where it lies. `value` is what it
    counts, as a share of the price of new stock of its size.
    """

    key: str
    words: str
    width: Length
    height: Length
    value: Fraction = Fraction(0)
    mark: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class MaterialFacts:
    """A material as the cores see it: its kind and the facts of its sheet.

    `facts` holds the kind's parameters, already read: Length, Fraction, str, bool.
    `plans` are records of cutting plans to take as they are, by their problem's digest.
    """

    code: str
    name: str
    kind: str
    facts: Mapping[str, object]
    packs: tuple[PackFacts, ...] = ()
    suited_to: tuple[str, ...] = ()
    source: str = ""
    one_lot: bool = False
    rack: tuple[RackPiece, ...] = ()
    plans: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class PackFacts:
    """How a material is sold on the day: content in the kind's unit, and its price.

    `price` is in units of 1/10,000 of the currency, before tax, for one pack.
    `breaks` are lower prices from a number of packs on: (least packs, price).
    """

    key: str
    label: str
    content: Fraction
    price: int
    supplier: str = ""
    special_order: bool = False
    lead_days: int = 0
    origin: str = ""
    valid_from: str = ""
    breaks: tuple[tuple[int, int], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Need:
    """How much of one material the job takes, before packs.

    Units: `quantity` in `unit` (the kind's: m2, kg, l, m, each, sheet, roll).
    `loss` is the part of `quantity` that is cut away or spilt. `bound` says in a
    sentence when the figure is a bound and not a count. `least_packs` is set where
    a plan has already counted whole pieces (a pan, sheets). `plan` is the record
    behind the figure, for drawings. `cautions` are for the client as well, `notes`
    only for who orders and sets.
    """

    material: str
    unit: str
    quantity: Fraction
    loss: Fraction = Fraction(0)
    least_packs: Mapping[str, int] = field(default_factory=dict)
    working: tuple[Step, ...] = ()
    bound: str = ""
    places: tuple[str, ...] = ()
    supplied_by: str = "us"
    plan: object | None = None
    cautions: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
