"""A mortar bed to falls: the gentlest the rule allows, and its exact volume."""

from __future__ import annotations

from fractions import Fraction

from moneyed import Money

from materials.core import amounts
from materials.core.cutting.pan_floor import (
    Floor,
    border_name,
    box_of,
    fall_text,
    heights,
    left_cautions,
    side_number,
)
from materials.core.cutting.pan_heights import Plane, RimBowl, Surface
from materials.core.cutting.pan_linear import (
    Tilt,
    gathering_walls,
    rule_reason,
    wall_run,
)
from materials.core.cutting.pan_linear import valley_run as plane_valley
from materials.core.cutting.pan_outlines import (
    cross,
    hole_rings,
    moment_y,
    outer_rings,
    root,
    sides,
)
from materials.core.cutting.pan_point import (
    foot_on,
    level_rim_reason,
    valley_run,
    wall_runs,
    walls,
)
from materials.core.cutting.pan_records import (
    CORNER,
    LABOUR,
    MORTAR,
    Bed,
    Mortar,
    Run,
    SlopeRule,
    Way,
)
from materials.core.quantities import fixed_text, whole_units
from materials.core.sources import Source

BED_KG_PER_CUBIC_METRE = Fraction(2100)
BED_SOURCE = Source.shop_practice("a set cement mortar bed, about 2,100 kg/m³")

NAME = "mortar bed"


def plane_bed(tilt: Tilt, mortar: Mortar, rule: SlopeRule) -> Way | str:
    """Return a bed that falls one way to a linear drain, or why none can.

    The bed is as thin at the drain as mortar and drain allow, and as flat as the rule
    allows. Its volume is area × base + fall × the first moment about the drain side.

    Rounds: a fall to a corner out of square with the drain goes up to the whole tick
    that reaches the rule.
    """
    floor = tilt.floor
    base = _base(floor, mortar)
    plane = _plane(tilt, base, rule.least)
    if rule.run == CORNER:
        valley = plane_valley(tilt, plane)
        if not valley.rise:
            return "the farthest corner lies level with the drain and cannot fall"
        rise = least_rise(rule.least, valley.square)
        plane = _plane(tilt, base, rule.least * rise / valley.rise)
        reason = rule_reason(plane.slope, rule)
        if reason is not None:
            return reason
    volume = floor.area * base + plane.slope * moment_y(tilt.region)
    top = plane.at_local(box_of(tilt.region)[3])
    return _way(
        floor,
        plane,
        bed_of(floor, mortar, volume, least=base, most=top),
        (wall_run(tilt, plane),),
        (plane_valley(tilt, plane), mortar, tuple(gathering_walls(tilt, plane))),
    )


def _plane(tilt: Tilt, base: Fraction, slope: Fraction) -> Plane:
    return Plane(
        frame=tilt.frame,
        base=base,
        slope=slope,
        start=Fraction(0),
        strip_height=base,
    )


def _base(floor: Floor, mortar: Mortar) -> Fraction:
    return Fraction(max(mortar.least.ticks, floor.recess.lowest.ticks))


def least_rise(slope: Fraction, square: Fraction) -> Fraction:
    """Return the rise that a fall makes over a run, given the run squared.

    Rounds: exact for a rational run; else up to the next whole tick, so that the fall
    is never less than asked for.
    """
    run = root(square)
    rise = slope * run
    return rise if run * run == square else Fraction(rise // 1 + 1)


def rim_bed(floor: Floor, mortar: Mortar, rule: SlopeRule) -> Way | str:
    """Return a bed that falls from a level rim to a point drain, or why none can.

    The rise is the least fall over the longest run (to a wall, or to the farthest
    corner when the rule says so). Over each wall the bed is a wedge that thins to the
    drain, so two thirds of the rise stand on the whole area, whatever the outline.
    """
    ring = outer_rings(floor.region)[0]
    reason = level_rim_reason(floor, rule) or _hidden_reason(floor)
    if reason is not None:
        return reason
    base = _base(floor, mortar)
    runs = wall_runs(floor)
    reach = max(run.square for run in runs)
    if rule.run == CORNER:
        flat = RimBowl(drain=floor.drain_points[0], base=base, rise=base * 0, rim=ring)
        reach = max(reach, valley_run(floor, flat, base).square)
    bowl = RimBowl(
        drain=floor.drain_points[0],
        base=base,
        rise=least_rise(rule.least, reach),
        rim=ring,
    )
    edges = walls(floor)
    falls = tuple(
        Run(
            to="wall",
            index=side_number(floor, edges[run.index]),
            at=foot_on(floor.drain_points[0], *edges[run.index]),
            square=run.square,
            rise=bowl.rise,
        )
        for run in runs
    )
    steepest = max(fall.slope for fall in falls)
    if rule.run == CORNER and steepest > rule.most:
        near = edges[min(runs, key=lambda run: run.square).index]
        return (
            f"with {fall_text(rule.least)} to the farthest corner it would fall "
            f"{fall_text(steepest)} from the {border_name(floor, near)}, and "
            f"{fall_text(rule.most)} is the most"
        )
    volume = floor.area * (base + Fraction(2, 3) * bowl.rise)
    bed = bed_of(floor, mortar, volume, least=base, most=base + bowl.rise)
    return _way(floor, bowl, bed, falls, (valley_run(floor, bowl, base), mortar, ()))


def _hidden_reason(floor: Floor) -> str | None:
    """Return why a wall has no straight fall to the drain, or None."""
    drain = floor.drain_points[0]
    if hole_rings(floor.region):
        return "a flat area stands clear of the walls and the fall would run around it"
    for a, b in sides(outer_rings(floor.region)[0]):
        if cross(drain, a, b) <= 0:
            return (
                f"the {border_name(floor, (a, b))} is not seen straight from the "
                "drain, so its floor would need a fall of its own"
            )
    return None


def bed_of(
    floor: Floor, mortar: Mortar, volume: Fraction, *, least: Fraction, most: Fraction
) -> Bed:
    """Return a bed's bags and weight from its volume in cubic ticks.

    Rounds: bags up, to whole ones; the mass stays exact.
    """
    density = mortar.kg_per_cubic_metre or BED_KG_PER_CUBIC_METRE
    return Bed(
        volume=volume,
        least=least,
        most=most,
        bags=None if mortar.bag is None else whole_units(volume, mortar.bag),
        kg=volume / floor.metre**3 * density,
    )


def _way(
    floor: Floor,
    surface: Surface,
    bed: Bed,
    runs: tuple[Run, ...],
    rest: tuple[Run, Mortar, tuple[str, ...]],
) -> Way:
    valley, mortar, cautions = rest
    nothing = amounts.zero(mortar.currency)
    cost: Money = amounts.money(
        bed.volume * mortar.price_per_cubic_tick, mortar.currency
    )
    return Way(
        kind=MORTAR,
        name=NAME,
        cost=cost,
        pieces=(),
        boards=(),
        bed=bed,
        slope=min(run.slope for run in runs),
        runs=runs,
        valley=valley,
        heights=heights(floor, surface, None),
        steps=(),
        used=floor.area,
        trimmed=Fraction(0),
        trimmed_money=nothing,
        rack_money=nothing,
        labour=LABOUR[MORTAR],
        sentence=_sentence(floor, bed, runs),
        cautions=(*cautions, *left_cautions(floor, None), *_load(floor, bed)),
        surface=surface,
    )


def _sentence(floor: Floor, bed: Bed, runs: tuple[Run, ...]) -> str:
    words = floor.words
    litres = bed.volume / floor.metre**3 * 1000
    gentle = min(runs, key=lambda run: run.slope)
    text = (
        f"Falls {fall_text(gentle.slope)} over {words(gentle.ticks)}: from "
        f"{words(bed.least)} at the drain to {words(bed.most)} at the highest, "
        f"{fixed_text(litres, places=1)} l of bed."
    )
    return text if bed.bags is None else f"{text} {bed.bags} bags."


def _load(floor: Floor, bed: Bed) -> tuple[str, ...]:
    """Return the caution about what the bed weighs on the floor."""
    if bed.kg is None:
        return ()
    square = floor.area / floor.metre**2
    return (
        f"The bed weighs about {fixed_text(bed.kg, places=0)} kg, "
        f"{fixed_text(bed.kg / square, places=0)} kg/m²; make sure the "
        "floor carries it.",
    )
