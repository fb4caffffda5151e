"""Tile by honest bounds, until a set-out has counted whole and cut tiles.

Two figures stand side by side: the area bound below which no set-out can go by much,
and a first guess of what is needed when no offcut is used again, from area and
perimeter. A set-out's own count, handed in as `counted`, replaces both.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from materials.core.areas import TICKS2_PER_SQ_M
from materials.core.errors import OutOfRange
from materials.core.kind import Kind, Lot, Parameter
from materials.core.lengths import NOTHING, Length
from materials.core.need import Extent, MaterialFacts, Need, Step, TileFacts
from materials.core.outlines import sides_of
from materials.core.quantities import half_up, whole_units
from materials.core.sources import Source
from materials.core.working import (
    area_step,
    chosen_length,
    chosen_number,
    count_text,
    figure,
    length_in,
    number_in,
    places_of,
    system_of,
    total_area,
)

CHIP_LATTICES = ("square", "brick", "hexagon")
"""How the chips of a mosaic sheet stand: in line, half along, six-sided."""

WITHOUT_JOINTS = "without joints"
WITH_JOINTS = "with joints"

AREA_BOUND = Source(title="bound: net area over one tile with its joint, up")
FIRST_GUESS = Source(
    title="first guess: fields of tile and joint that an outline meets on average",
    place="(area + half the perimeter's spread × field + field) ÷ field",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Counted:
    """Tiles by set-out, all repeats, with the working and the plan.

    Of lots that are ordered together the first carries all `tiles` and the `order`
    steps, the others none.
    """

    tiles: int
    steps: tuple[Step, ...] = ()
    order: tuple[Step, ...] = ()
    plan: object | None = None


def facts_of(material: MaterialFacts, settings: Mapping[str, object]) -> TileFacts:
    """Return the tile with the joint its layer sets, for bed, grout and trims.

    Raises: OutOfRange through the kind's own check when the sizes are missing.
    """
    facts = material.facts
    chip_length = length_in(facts, "chip_length")
    is_hexagon = facts.get("chip_lattice") == "hexagon"
    return TileFacts(
        length=length_in(facts, "length"),
        width=length_in(facts, "width"),
        thickness=length_in(facts, "thickness"),
        joint=chosen_length("joint", settings, facts),
        chip_length=chip_length,
        # A hexagon is as wide as long, and f² ÷ (f + joint)² is its share too.
        chip_width=(
            chip_length if is_hexagon else length_in(facts, "chip_width", chip_length)
        ),
    )


def guessed_tiles(extent: Extent, tile: TileFacts) -> Fraction:
    """Return the fields a randomly placed grid lets an outline meet, on average.

    For a rectangle w × h and a field a × b this is (w + a)(h + b) ÷ ab: every field
    that is touched takes a tile of its own. Holes only take their area away.

    Units: tiles of one repeat, before rounding.
    """
    a = (tile.length + tile.joint).ticks
    b = (tile.width + tile.joint).ticks
    across = sum(abs(end[0] - start[0]) for start, end in sides_of(extent.outline))
    upright = sum(abs(end[1] - start[1]) for start, end in sides_of(extent.outline))
    doubled = 2 * extent.area.ticks2 + a * upright + b * across + 2 * a * b
    return Fraction(doubled, 2 * a * b)


def need(
    material: MaterialFacts, extents: Sequence[Extent], settings: Mapping[str, object]
) -> Need:
    """Return how many tiles (or sheets of mosaic) the extents of one layer take.

    As `pooled_need` of that one lot.
    """
    return pooled_need(material, [Lot(extents=tuple(extents), settings=settings)])


def pooled_need(material: MaterialFacts, lots: Sequence[Lot]) -> Need:
    """Return how many tiles (or sheets of mosaic) all layers of one tile take.

    A layer may set `counted` (a `Counted`: its set-outs, ordered with breakage) and
    `loss`, a share for breakage that is added to a first guess; spare tiles come as
    `pieces`; `share` is the part of the area that is of this product's size.

    Units: each. Rounds: up, once for each extent of a first guess.
    """
    word = "sheet" if length_in(material.facts, "chip_length") > NOTHING else "tile"
    parts = [_part(material, lot, word) for lot in lots]
    guessed = sum(part.guess for part in parts)
    share = chosen_number("loss", lots[0].settings, material.facts)
    broken = whole_units(guessed * share, Fraction(1))
    spares = sum(part.spares for part in parts)
    total = sum(part.counted for part in parts) + guessed + broken + spares
    fields = sum((part.fields for part in parts), Fraction(0))
    found = [lot.settings.get("counted") for lot in lots]
    counted = [one for one in found if isinstance(one, Counted)]
    plans = [
        one.plan if isinstance(one.plan, tuple) else (one.plan,) for one in counted
    ]
    return Need(
        material=material.code,
        unit="each",
        quantity=Fraction(total),
        loss=max(Fraction(0), total - fields),
        working=(
            *(step for part in parts for step in part.steps),
            *(step for one in counted for step in one.order),
            *_extra_steps(broken, share, spares, word),
        ),
        bound=" ".join(part.bound for part in parts if part.bound),
        places=places_of([extent for lot in lots for extent in lot.extents]),
        plan=tuple(plan for some in plans for plan in some) or None,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Part:
    """One layer's share: tiles counted or guessed, spares, fields by area, working."""

    counted: int
    guess: int
    spares: int
    fields: Fraction
    steps: tuple[Step, ...]
    bound: str


def _part(material: MaterialFacts, lot: Lot, word: str) -> _Part:
    system = system_of(lot.settings)
    tile = facts_of(material, lot.settings)
    area = total_area(lot.extents)
    share = _share(lot)
    fields = share * (area / (tile.length + tile.joint).by(tile.width + tile.joint))
    least = whole_units(fields, Fraction(1))
    counted = lot.settings.get("counted")
    part = f" × {figure(share, places=4)}" if share != 1 else ""
    formula = f"{area.text(system)}{part} ÷ {_field(tile, system)}"
    at_least = count_text(least, word)
    steps: tuple[Step, ...] = (
        area_step(lot.extents, system),
        Step(label="At least", formula=formula, result=at_least, source=AREA_BOUND),
    )
    spare = lot.settings.get("pieces")
    spares = spare if isinstance(spare, int) else 0
    if isinstance(counted, Counted):
        return _Part(
            counted=counted.tiles, guess=0, spares=spares, fields=fields,
            steps=(*steps, *counted.steps), bound="",
        )  # fmt: skip
    guess = sum(
        whole_units(guessed_tiles(extent, tile) * share, Fraction(1)) * extent.times
        for extent in lot.extents
    )
    guessing = Step(
        label="No offcut used again, first guess",
        formula=f"fields of {_field(tile, system)} that each outline meets, up",
        result=count_text(guess, "tile"),
        source=FIRST_GUESS,
    )
    return _Part(
        counted=0, guess=guess, spares=spares, fields=fields,
        steps=(*steps, guessing),
        bound=f"{guess} is a first guess without a set-out; at least {least} are "
        "needed.",
    )  # fmt: skip


def _share(lot: Lot) -> Fraction:
    share = lot.settings.get("share")
    return share if isinstance(share, Fraction) else Fraction(1)


def _field(tile: TileFacts, system: str) -> str:
    return (
        f"(({tile.length.text(system)} + {tile.joint.text(system)}) × "
        f"({tile.width.text(system)} + {tile.joint.text(system)}))"
    )


def _extra_steps(
    broken: int, share: Fraction, spares: int, word: str
) -> list[Step]:  # fmt: skip
    steps = []
    if broken:
        steps.append(
            Step(
                label="Breakage",
                formula=f"{figure(share * 100, places=2)} %, up",
                result=count_text(broken, word),
            )
        )
    if spares:
        steps.append(
            Step(label="Spare", formula="asked for", result=count_text(spares, word))
        )
    return steps


def pieces_of(area_sq_m: Fraction, facts: Mapping[str, object]) -> Fraction:
    """Return the tiles in a box that is labelled by the area it covers.

    A label counts the faces alone, or each with its joint; `box_area` says which.

    Units: m². Rounds: to the nearest whole tile, since the label is rounded too.
    Raises: OutOfRange for an area a quarter of a tile, or a fiftieth of the box, off
    any whole number.
    """
    joint = (
        length_in(facts, "joint") if facts.get("box_area") == WITH_JOINTS else NOTHING
    )
    one = (length_in(facts, "length") + joint).by(length_in(facts, "width") + joint)
    share = area_sq_m * TICKS2_PER_SQ_M / one.ticks2
    pieces = half_up(share)
    if pieces < 1 or abs(share - pieces) >= min(Fraction(1, 4), share / 50):
        raise OutOfRange(
            f"A box of {figure(area_sq_m, places=4)} m² is no whole number of this "
            f"tile ({figure(share, places=2)}); check whether the printed area counts "
            "joints, or enter how many tiles it holds."
        )
    return pieces


def mass_of(material: MaterialFacts, area_ticks2: int) -> Fraction:
    """Return the mass of tile on an area, or nothing where the sheet is silent.

    Units: kg.
    """
    rate = number_in(material.facts, "mass")
    return rate * Fraction(area_ticks2, TICKS2_PER_SQ_M)


def longest_side(tile: TileFacts) -> Length:
    """Return the longer side of a tile."""
    return max(tile.length, tile.width)


KIND = Kind(
    key="tile",
    label="Tile",
    sold_as="box",
    unit="each",
    parameters=(
        Parameter(
            name="length",
            label="Length",
            type="length",
            help="work size, as made; of a mosaic the sheet",
        ),
        Parameter(name="width", label="Width", type="length", help="work size"),
        Parameter(name="thickness", label="Thickness", type="length"),
        Parameter(
            name="joint", label="Usual joint", type="length", may_be_nothing=True
        ),
        Parameter(
            name="variation",
            label="Tiles differ in size by up to",
            type="length",
            required=False,
            may_be_nothing=True,
            help="largest less smallest of a box, or as the maker's sheet says",
        ),
        Parameter(
            name="chip_length", label="Length of a chip", type="length", required=False
        ),
        Parameter(
            name="chip_width", label="Width of a chip", type="length", required=False
        ),
        Parameter(
            name="chip_lattice",
            label="How chips stand on the sheet",
            type="choice",
            choices=CHIP_LATTICES,
            required=False,
            help="square where left empty; a hexagon's length is from flat to flat",
        ),
        Parameter(
            name="reuse_up_to",
            label="Offcuts used again up to a side of",
            type="length",
            required=False,
            help="1.2 m where left empty; larger slabs are bought piece by piece",
        ),
        Parameter(
            name="box_area",
            label="Area printed on the box",
            type="choice",
            choices=(WITHOUT_JOINTS, WITH_JOINTS),
            required=False,
            help="without joints where left empty; tells the tiles in a box of 1.44 m2",
        ),
        Parameter(
            name="directional",
            label="Has a direction",
            type="yes_no",
            default="no",
            help="vein, print or arrow: pieces may not be turned",
        ),
        Parameter(
            name="slip",
            label="Slip value, wet",
            type="text",
            required=False,
            help="as printed, such as DCOF 0.45 or R10 B",
        ),
        Parameter(
            name="frost_proof", label="Frost proof", type="yes_no", required=False
        ),
        Parameter(
            name="body",
            label="Body",
            type="choice",
            choices=("glazed", "porcelain", "stone", "glass", "cement"),
            required=False,
            help="porcelain takes longer to cut and set",
        ),
        Parameter(
            name="mass", label="Mass", type="number", unit="kg/m2", required=False
        ),
        Parameter(name="loss", label="Breakage", type="rate", required=False),
    ),
    need=need,
    pool=pooled_need,
    coverage=pieces_of,
    source=FIRST_GUESS,
)
