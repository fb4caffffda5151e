"""The records of a takeoff: needs, measures, surfaces, layers, slopes, cautions."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction

from materials.core.areas import NO_AREA, Area
from materials.core.cutting.pan_records import Fit, Way
from materials.core.lengths import NOTHING, Length
from materials.core.need import Edge, Need, Point, Step, TileFacts
from materials.core.sources import Source
from quotes.core.mixed_patterns import Mix
from quotes.core.stairs import Flight, Stairs


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """One measured quantity that an operation of labour is based on.

    `key` says what it is (MEASURE_KEYS); `basis` is area, length, each, volume or
    mass, and `unit` m2, m, each, l or kg. `quantity` counts all repeats. `role` and
    `layer` are the surface's and the layer's role, `material` the layer's material
    (may be empty), `surface_area` the net area of one surface, which tells small
    rooms from large ones.
    """

    key: str
    basis: str
    unit: str
    quantity: Fraction
    place: str
    role: str = ""
    layer: str = ""
    material: str = ""
    exposure: str = "dry"
    use: str = ""
    times: int = 1
    tile: TileFacts | None = None
    pattern: Mapping[str, object] = field(default_factory=dict)
    surface_area: Area = NO_AREA
    working: tuple[Step, ...] = ()


MEASURE_KEYS = (
    "layer_area",  # one per layer that covers an area: board, membrane, bed, tile …
    "layer_length",  # trims and profiles
    "volume",  # mortar bed, leveller
    "pan",  # each
    "drain",  # each
    "inside_corner",  # metres of change of plane, each once
    "outside_corner",
    "perimeter",  # metres of edge against something not tiled
    "exposed_edge",
    "threshold",
    "sealant_joint",
    "cut_out",  # each
    "niche",  # each
    "step",  # each
    "mitred_corner",  # each, of a border
)


EVERYONE = "everyone"
SHOP = "shop"
READERS = (EVERYONE, SHOP)
"""Who a caution is for: client and setter alike, or only who orders and sets."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """A sentence the page and the paper must carry, with where it comes from.

    `reader` is EVERYONE where it can hurt someone, let water in or touch a code; SHOP
    for what is put right before the work begins and is no business of the client's.
    """

    code: str
    sentence: str
    place: str = ""
    source: Source | None = None
    reader: str = EVERYONE


@dataclass(frozen=True, slots=True, kw_only=True)
class FaceSizes:
    """A surface at one face: its outline moved there, in ticks."""

    face: str
    outline: tuple[Point, ...]
    holes: tuple[tuple[Point, ...], ...] = ()
    area: Area = NO_AREA
    working: tuple[Step, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasuredSurface:
    """One surface with what was derived from it.

    `faces` is ordered framing, board, finished. `closing` is the closing error as a
    sentence, empty where the shape closes. Lengths are of one repeat at the finished
    face; `times` counts all repeats. `deepest` is the thickness of its build-up.
    """

    id: str
    place: str
    space: str
    surface: str
    role: str
    measured_to: str
    exposure: str
    use: str
    times: int
    edges: tuple[Edge, ...]
    faces: tuple[FaceSizes, ...]
    net_area: Area
    perimeter: Length
    inside_corners: Length = NOTHING
    outside_corners: Length = NOTHING
    exposed_length: Length = NOTHING
    build_up_thickness: Length = NOTHING
    closing: str = ""
    closing_error: Length = NOTHING
    level_volume: Fraction = Fraction(0)
    steps: tuple[Step, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class LayerUse:
    """One layer of one region as it was taken off, for drawings and set-out."""

    place: str
    region: str
    role: str
    material: str
    outline: tuple[Point, ...]
    holes: tuple[tuple[Point, ...], ...]
    edges: tuple[Edge, ...]
    area: Area
    times: int
    tile: TileFacts | None = None
    pattern: Mapping[str, object] = field(default_factory=dict)
    surface_id: str = ""
    region_id: str = ""
    mix: Mix | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SlopedFloor:
    """How one recess is given its fall: the way taken, and all that was tried.

    `times` counts its repeats; `outline` is the recess as the pan finds it.
    """

    place: str
    outline: tuple[Point, ...]
    times: int
    way: Way
    fit: Fit


@dataclass(frozen=True, slots=True, kw_only=True)
class TakenStairs:
    """A flight of stairs: as measured, and the beds that even its risers out.

    `own_limit` says that the visit states by how much risers may differ.
    """

    place: str
    times: int
    flight: Flight
    stairs: Stairs
    own_limit: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Takeoff:
    """All that was taken off one visit, pooled over the job.

    `needs` are ordered by build-up stage, then by material code; there is one for
    each material and supplier of it (us, client, others).
    """

    visit: str
    surfaces: tuple[MeasuredSurface, ...]
    needs: tuple[Need, ...]
    measures: tuple[Measure, ...]
    layers: tuple[LayerUse, ...] = ()
    slopes: tuple[SlopedFloor, ...] = ()
    stairs: tuple[TakenStairs, ...] = ()
    cautions: tuple[Caution, ...] = ()
