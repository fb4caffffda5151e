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
from materials.core.cutting.pan_records import Fit, PanPiece, Way
from materials.core.lengths import METRE, NOTHING, Length
from materials.core.need import MaterialFacts, Need
from materials.core.quantities import decimal_text
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
from quotes.core.takeoff import Measure, Takeoff
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
    """What slows the work everywhere, and how high each place reaches."""

    everywhere: tuple[Factor, ...]
    heights: Mapping[str, Length]


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
    conditions = Conditions(everywhere=_everywhere(site), heights=_heights(takeoff))
    tasks = [
        task
        for measure in takeoff.measures
        for task in _measured(measure, catalogue, conditions, system)
    ]
    tasks += _pan_tasks(takeoff.needs, conditions)
    if tasks:
        fixed = [Task(operation=key, quantity=Fraction(1)) for key in FIXED]
        tasks = fixed + tasks
    return tuple(tasks)


def extra_tasks(extra: Iterable[ExtraLabour]) -> tuple[Task, ...]:
    """Return the labour added by hand, as tasks with the factor that was given."""
    tasks = []
    for labour in extra:
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
    if operation is None:
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
    angle = measure.pattern.get("angle", Fraction(0))
    turned = isinstance(angle, int | Fraction) and angle % 90 != 0
    return Setting(
        tile=measure.tile,
        room=measure.surface_area,
        half_height=measure.role == "splashback"
        or (measure.role == "wall" and NOTHING < height < PART_HEIGHT),
        porcelain=facts.get("body") == "porcelain",
        pattern=str(measure.pattern.get("name", "")),
        diagonal=turned,
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


def ways_of(plan: object) -> tuple[Way, ...]:
    """Return the ways of making sloped floors that a plan has chosen.

    Shape: the cheapest way of a fit, one way, or those of a tuple of either.
    """
    if isinstance(plan, Way):
        return (plan,)
    if isinstance(plan, Fit):
        return plan.ways[:1]
    if isinstance(plan, tuple):
        return tuple(way for part in plan for way in ways_of(part))
    return ()


def trimmed_share(plan: object) -> Fraction | None:
    """Return the share of the money for pans that is cut off for good, or None.

    What goes to the rack is taken off. Pans of several recesses weigh by their price.
    """
    pieces = [piece for way in ways_of(plan) for piece in way.pieces]
    whole = sum((Fraction(piece.pan.price.amount) for piece in pieces), Fraction(0))
    if not whole:
        return None
    lost = sum((_lost(piece) for piece in pieces), Fraction(0))
    return lost / whole


def _lost(piece: PanPiece) -> Fraction:
    share = (piece.trimmed - piece.racked) / (piece.used + piece.trimmed)
    return Fraction(piece.pan.price.amount) * share


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


def _pan_tasks(needs: Iterable[Need], conditions: Conditions) -> list[Task]:
    tasks = []
    for need in needs:
        place = ", ".join(need.places)
        for way in ways_of(need.plan):
            cut = sum((cut_length(piece) for piece in way.pieces), Fraction(0))
            for operation, quantity in ((way.labour, Fraction(1)), ("cut_pan", cut)):
                tasks.append(
                    Task(
                        operation=operation,
                        quantity=quantity,
                        place=place,
                        factors=conditions.everywhere,
                    )
                )
    return tasks
