"""From what was taken off to the tasks of labour: which operation, how much, where.

A measured layer becomes one task; so do corners to seal, holes to cut, drains and
pans. Setting includes the bed and the grout, as its published hours do, so beds and
grout of a tiled layer are no tasks of their own.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction

from materials.core.areas import Area
from materials.core.cutting.pan_records import MORTAR, PanPiece
from materials.core.errors import Refusal
from materials.core.lengths import METRE, NOTHING, Length
from materials.core.need import MaterialFacts
from materials.core.quantities import decimal_text, parse_number
from quotes.core.choices import ExtraLabour
from quotes.core.labour import (
    HEIGHT,
    OVERHEAD,
    TIGHT,
    UNITS,
    Factor,
    Task,
    operation_of,
)
from quotes.core.outputs import Setting
from quotes.core.taken import Measure, SlopedFloor, Takeoff
from quotes.core.visit import Site

NARROW = Length.mm(700)
HIGH = Length.mm(2700)
PART_HEIGHT = Length.mm(1500)
"""Shop practice: below this a wall counts as tiled to part of its height."""

UPRIGHT = ("wall", "splashback", "niche", "reveal", "kerb", "ceiling")

LAYER_OPERATIONS = {
    "preparation": "prepare_surface",
    "leveller": "lay_leveller",
    "mortar_bed": "float_mortar_bed",
    "board": "fix_board",
    "waterproofing": "seal_surface",
    "cleaning": "clean_down",
}
KEY_OPERATIONS = {
    "drain": "set_drain",
    "pan": "set_pan",
    "cut_out": "cut_hole",
    "niche": "form_niche",
    "step": "set_step",
    "mitred_corner": "mitre_corner",
    "sealant_joint": "seal_joint",
}
FIXED = ("protect", "set_out")
"""Once a job that has any measured work."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Conditions:
    """What slows the work everywhere, and how high each place reaches.

    `fitted` places have a pan whose way names its own operation.
    """

    everywhere: tuple[Factor, ...]
    heights: Mapping[str, Length]
    fitted: frozenset[str] = frozenset()


def tasks_of(
    takeoff: Takeoff,
    *,
    catalogue: Mapping[str, MaterialFacts],
    site: Site,
    system: str,
) -> tuple[Task, ...]:
    """Return the tasks of all that was taken off, in the order it was measured.

    Shape: nothing measured gives no task, not even the fixed ones.
    """
    conditions = Conditions(
        everywhere=_everywhere(site),
        heights=_heights(takeoff),
        fitted=frozenset(floor.place for floor in takeoff.slopes),
    )
    tasks = [
        task
        for measure in takeoff.measures
        for task in _measured(measure, catalogue, conditions, system)
    ]
    tasks += _pan_tasks(takeoff.slopes, conditions)
    if tasks:
        fixed = [Task(operation=key, quantity=Fraction(1)) for key in FIXED]
        tasks = fixed + tasks
    return tuple(tasks)


def extra_tasks(extra: Iterable[ExtraLabour]) -> tuple[Task, ...]:
    """Return the labour added by hand, as tasks with the factor that was given.

    Raises: Unknown for an operation that is none, naming the line.
    """
    tasks = []
    for place, labour in enumerate(extra):
        try:
            operation_of(labour.operation)
        except Refusal as refusal:
            raise refusal.at(f"labour[{place}]") from refusal
        factors: tuple[Factor, ...] = ()
        if labour.factor != 1:
            factors = (Factor(label="factor given", value=labour.factor),)
        tasks.append(
            Task(
                operation=labour.operation,
                quantity=labour.quantity,
                place=labour.place,
                factors=factors,
                note=labour.note,
            )
        )
    return tuple(tasks)


def _everywhere(site: Site) -> tuple[Factor, ...]:
    width = site.access_width
    if width is not None and NOTHING < width.length < NARROW:
        return (TIGHT,)
    return ()


def _heights(takeoff: Takeoff) -> dict[str, Length]:
    """Return how high the tiled parts of each place reach from their lower edge."""
    heights: dict[str, Length] = {}
    for layer in takeoff.layers:
        ys = [y for _, y in layer.outline]
        if ys:
            reach = Length(max(ys) - min(ys))
            heights[layer.place] = max(reach, heights.get(layer.place, NOTHING))
    return heights


def _measured(
    measure: Measure,
    catalogue: Mapping[str, MaterialFacts],
    conditions: Conditions,
    system: str,
) -> list[Task]:
    operation = _operation(measure)
    if operation is None or _is_band(measure, catalogue):
        return []
    if measure.key == "pan" and measure.place in conditions.fitted:
        return []
    factors = list(conditions.everywhere)
    height = conditions.heights.get(measure.place, NOTHING)
    if measure.role == "ceiling":
        factors.append(OVERHEAD)
    elif measure.role in UPRIGHT and height > HIGH:
        factors.append(HEIGHT)
    return [
        Task(
            operation=operation,
            quantity=measure.quantity,
            place=measure.place,
            setting=_setting(measure, catalogue, height),
            factors=tuple(factors),
            measured=_said(measure, operation, system),
        )
    ]


def _is_band(measure: Measure, catalogue: Mapping[str, MaterialFacts]) -> bool:
    """Return whether a layer is the band in the corners: sealing includes its hours."""
    material = catalogue.get(measure.material)
    return material is not None and material.facts.get("form") == "band"


def _operation(measure: Measure) -> str | None:
    if measure.key in KEY_OPERATIONS:
        return KEY_OPERATIONS[measure.key]
    if measure.key == "layer_length" and measure.layer == "trim":
        return "set_trim"
    if measure.key == "layer_area" and measure.layer == "tile":
        upright = measure.role in UPRIGHT
        return "set_wall_tile" if upright else "set_floor_tile"
    if measure.key == "layer_area":
        return LAYER_OPERATIONS.get(measure.layer)
    return None


def _setting(
    measure: Measure, catalogue: Mapping[str, MaterialFacts], height: Length
) -> Setting | None:
    if measure.layer != "tile" or measure.key != "layer_area":
        return None
    material = catalogue.get(measure.material)
    facts = material.facts if material else {}
    angle = parse_number(str(measure.pattern.get("angle", "0")))
    return Setting(
        tile=measure.tile,
        room=measure.surface_area,
        half_height=measure.role == "splashback"
        or (measure.role == "wall" and NOTHING < height < PART_HEIGHT),
        porcelain=facts.get("body") == "porcelain",
        pattern=str(measure.pattern.get("name", "")),
        diagonal=angle % 90 != 0,
    )


def _said(measure: Measure, operation: str, system: str) -> str:
    """Return a quantity as a setter of that system reads it, with the metric one."""
    basis = operation_of(operation).basis
    metric = f"{decimal_text(measure.quantity, places=3)} {UNITS[basis]}"
    if system != "imperial" or basis not in ("area", "length"):
        return metric
    if basis == "area":
        return f"{Area.sq_m_of(measure.quantity).text(system)} ({metric})"
    feet = measure.quantity * METRE / Length.inch(12).ticks
    return f"{decimal_text(feet, places=2)} ft ({metric})"


def trimmed_shares(
    slopes: Iterable[SlopedFloor],
) -> dict[str, tuple[Fraction, Fraction]]:
    """Return, for each pan that is bought, the shares of it cut off and racked.

    Shape: plan area cut off ÷ whole plan area, over all pieces of that pan, and the
    part of it that is kept on the rack ÷ whole plan area.
    """
    sums: dict[str, list[Fraction]] = {}
    for floor in slopes:
        for piece in floor.way.pieces:
            whole = piece.used + piece.trimmed
            held = sums.setdefault(piece.pan.name, [Fraction(0)] * 3)
            for place, area in enumerate((piece.trimmed, piece.racked, whole)):
                held[place] += area * floor.times
    return {
        name: (trimmed / whole, racked / whole)
        for name, (trimmed, racked, whole) in sums.items()
        if whole
    }


def cut_length(piece: PanPiece) -> Fraction:
    """Return the metres cut to trim a pan: each trimmed side along its whole length."""
    pan = piece.pan
    lengths = {"left": pan.depth, "right": pan.depth}
    ticks = sum(
        (
            lengths.get(trim.side, pan.width).ticks
            for trim in piece.trims
            if trim.amount
        ),
        0,
    )
    return Fraction(ticks, METRE)


def _pan_tasks(slopes: Iterable[SlopedFloor], conditions: Conditions) -> list[Task]:
    """Return bedding and trimming of the pans of each sloped floor, with repeats."""
    tasks = []
    for floor in slopes:
        way = floor.way
        if way.kind == MORTAR:
            continue
        cut = sum((cut_length(piece) for piece in way.pieces), Fraction(0))
        for operation, quantity in ((way.labour, Fraction(1)), ("cut_pan", cut)):
            tasks.append(
                Task(
                    operation=operation,
                    quantity=quantity * floor.times,
                    place=floor.place,
                    factors=conditions.everywhere,
                )
            )
    return tasks
