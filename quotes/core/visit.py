"""The records of one site visit: what was measured, chosen, and agreed on site.

They mirror the visit file field by field (`visit_file` reads and writes it, the
published form is `visit_schema.json`). Lengths are exact; what was typed is kept
beside them in `Typed`, so that the file is written back as it was taken.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from fractions import Fraction

from materials.core.pricelist import PriceList
from quotes.core.buildup import BuildUp
from quotes.core.choices import (
    Allowance,
    ExtraLabour,
    HandLine,
    Overrule,
    Rates,
    Terms,
)
from quotes.core.joint_rules import PUBLISHED, JointRules
from quotes.core.layout.orders import ASSUMED, Ordering
from quotes.core.typed import Typed

ROLES = (
    "floor",
    "wall",
    "ceiling",
    "recess",
    "kerb",
    "bench",
    "niche",
    "reveal",
    "splashback",
    "steps",
)
FACES = ("framing", "old_finish", "board", "finished")
EXPOSURES = (
    "dry",
    "splash",
    "wet",
    "steam",
    "under_water",
    "outdoors",
    "outdoors_frost",
    "heated",
    "near_heat",
)
USES = ("", "barefoot_wet", "ramp", "stairs", "traffic")
OPENING_KINDS = ("door", "window", "niche", "fixture", "valve", "outlet", "other")
REGION_KINDS = ("band", "border", "panel", "niche_back", "part_height")
SHAPE_KINDS = (
    "rectangle", "run", "l", "u", "polygon", "quadrilateral", "wall_of", "stairs",
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Client:
    """Who asked for the work."""

    name: str = ""
    nature: str = "household"
    address: str = ""
    country: str = ""
    email: str = ""
    phone: str = ""
    tax_number: str = ""
    notes: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Site:
    """Where the work is and what stands in the way.

    `access_width` and `access_height` are the smallest opening on the way in,
    `turning` the least clear space to turn a sheet in; None where not measured.
    `storey` counts from 0 at the ground; `built` is a year.
    """

    address: str = ""
    access_width: Typed | None = None
    access_height: Typed | None = None
    turning: Typed | None = None
    storey: int = 0
    built: int | None = None
    substrate: str = ""
    parking: str = ""
    power: str = ""
    water: str = ""
    asbestos_test: str = ""
    notes: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """The outline as measured. `kind` is one of SHAPE_KINDS.

    `sizes` holds named lengths (rectangle: width, height; l: width, height,
    cut_width, cut_height; u: the same and cut_left; quadrilateral: diagonal and
    second_diagonal; wall_of: height; stairs: width, going, bottom, landing, tile, bed,
    riser, nosing, limit, as `stairs.Flight` has them). `sides` are read in order from
    the lower left, counter-clockwise (of stairs: the rises, from the bottom floor
    up); `corners` are inside angles in degrees after each side. `points` are the
    polygon's corners. `floor` and `side` name the floor outline a wall stands on.
    `corner` says where an L is cut, `laid` whether the tread or the riser of stairs
    is laid first, `riser_build_up` what their risers get where it is something else.
    """

    kind: str
    sizes: Mapping[str, Typed] = field(default_factory=dict)
    sides: tuple[Typed, ...] = ()
    corners: tuple[Fraction, ...] = ()
    points: tuple[tuple[Typed, Typed], ...] = ()
    floor: str = ""
    side: int = 0
    corner: str = "upper_right"
    laid: str = "tread"
    riser_build_up: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class EdgeNote:
    """What one side of a surface is, what it meets, and which of the two runs past.

    `meets` is the id of the neighbouring surface or empty; `runs` is "past", "to" or
    empty for the rule (the surface written first runs past).
    """

    kind: str = "wall"
    meets: str = ""
    runs: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Opening:
    """Something cut out of a surface: a rectangle measured from its lower left.

    `lining` names the build-up on its reveals, which narrows it; `trim` asks for an
    edge profile round it.
    """

    id: str
    kind: str
    name: str = ""
    left: Typed
    bottom: Typed
    width: Typed
    height: Typed
    depth: Typed | None = None
    lining: str = ""
    trim: bool = False
    times: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Region:
    """A part of a surface with its own build-up, pattern and set-out.

    band and part_height: `bottom` and `height`; border: `width`; panel and
    niche_back: `left`, `bottom`, `width`, `height`. `corners` says how a border
    turns ("mitred" or "butted"); `joint` what parts it from the field.
    """

    id: str
    kind: str
    name: str = ""
    build_up: str = ""
    left: Typed | None = None
    bottom: Typed | None = None
    width: Typed | None = None
    height: Typed | None = None
    corners: str = "mitred"
    joint: str = "joint"
    pattern: Mapping[str, object] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """One side read low, in the middle and high, with its plumb error."""

    side: int
    low: Typed | None = None
    middle: Typed | None = None
    high: Typed | None = None
    plumb: Typed | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SpotHeight:
    """The height of a floor at a point, over any datum."""

    x: Typed
    y: Typed
    height: Typed


@dataclass(frozen=True, slots=True, kw_only=True)
class Drain:
    """Where a sloped floor drains: a point, or a line along a side.

    `side`, `start` and `line` (its length) for a linear drain; `x`, `y` for a point.
    """

    kind: str
    side: int = 0
    start: Typed | None = None
    line: Typed | None = None
    x: Typed | None = None
    y: Typed | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Slope:
    """The falls a floor must keep, as fractions (1/48)."""

    least: Fraction = Fraction(1, 48)
    most: Fraction = Fraction(1, 24)


@dataclass(frozen=True, slots=True, kw_only=True)
class Surface:
    """A floor, a wall, a recess: its shape and the face the tape lay on.

    `pattern` is the set-out chosen for its field; it stands in for the build-up's own
    as long as that names the same pattern.
    """

    id: str
    name: str
    role: str
    shape: Shape
    build_up: str = ""
    measured_to: str = "framing"
    exposure: str = "dry"
    use: str = ""
    times: int = 1
    edges: tuple[EdgeNote, ...] = ()
    openings: tuple[Opening, ...] = ()
    regions: tuple[Region, ...] = ()
    readings: tuple[Reading, ...] = ()
    heights: tuple[SpotHeight, ...] = ()
    drain: Drain | None = None
    flat: tuple[tuple[tuple[Typed, Typed], ...], ...] = ()
    slope: Slope | None = None
    lowest: Typed | None = None
    steps: int = 0
    notes: str = ""
    pattern: Mapping[str, object] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Space:
    """A room or a recess that stands `times` times, but for what `exceptions` say.

    An exception names a surface and how many of the repeats it is missing in.
    """

    id: str
    name: str
    times: int = 1
    surfaces: tuple[Surface, ...] = ()
    exceptions: tuple[RepeatException, ...] = ()
    notes: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class RepeatException:
    """In so many of the repeats a surface is not there; the note says why."""

    surface: str
    missing: int
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Visit:
    """One measuring of one site for one client, whole.

    `system` says what a bare number meant ("imperial" or "metric"). `rates` and
    `price_list` are None when the stored ones are to be used.
    """

    id: str
    title: str
    currency: str
    measured_on: date
    system: str
    client: Client = Client()
    site: Site = Site()
    spaces: tuple[Space, ...] = ()
    build_ups: Mapping[str, BuildUp] = field(default_factory=dict)
    labour: tuple[ExtraLabour, ...] = ()
    hand_lines: tuple[HandLine, ...] = ()
    overrules: tuple[Overrule, ...] = ()
    allowances: tuple[Allowance, ...] = ()
    rates: Rates | None = None
    ordering: Ordering = ASSUMED
    rules: JointRules = PUBLISHED["us"]
    terms: Terms = field(default_factory=Terms)
    price_list: PriceList | None = None
