"""Pans for a point drain: four planes from a level rim, cut where the walls stand."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from materials.core.cutting.pan_floor import (
    Floor,
    border_name,
    box_of,
    corner_number,
    fall_text,
    parted_reason,
    side_number,
)
from materials.core.cutting.pan_heights import Frame, PanBowl, Surface
from materials.core.cutting.pan_linear import forbidden_reason
from materials.core.cutting.pan_outlines import (
    Point,
    Segment,
    cross,
    outer_rings,
    root,
    sides,
)
from materials.core.cutting.pan_pieces import Lay
from materials.core.cutting.pan_records import (
    CORNER,
    POINT,
    Pan,
    Run,
    SlopeRule,
    Step,
)

QUARTER_TURNS: tuple[Point, ...] = ((1, 0), (0, 1), (-1, 0), (0, -1))
"""Which way a pan's drain edge runs at 0, 90, 180 and 270 degrees."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WallRun:
    """One wall seen from a point drain, with the square of its distance.

    `index` is its place in `walls`.
    """

    index: int
    square: Fraction

    @property
    def ticks(self) -> Fraction:
        """The run, straight from the wall's line to the drain."""
        return root(self.square)


def wall_runs(floor: Floor) -> tuple[WallRun, ...]:
    """Return the straight run from every wall of the sloped floor to a point drain.

    Walls that turn their back on the drain have no run.
    """
    drain = floor.drain_points[0]
    found = []
    for index, (a, b) in enumerate(walls(floor)):
        twice = cross(drain, a, b)
        if twice > 0:
            length2 = (b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2
            found.append(WallRun(index=index, square=Fraction(twice * twice) / length2))
    return tuple(found)


def walls(floor: Floor) -> tuple[Segment, ...]:
    """Return the borders of the sloped floor, flat areas' edges included."""
    return tuple(side for ring in outer_rings(floor.region) for side in sides(ring))


def level_rim_reason(floor: Floor, rule: SlopeRule) -> str | None:
    """Return why no level rim can fall to this drain within the rule, or None.

    With a level rim the rise is the same on every wall, so the longest run over the
    shortest must not exceed the greatest fall over the least.

    Source: arithmetic; compared in squares, exactly, so that runs out of square need
    no root.
    """
    parted = parted_reason(floor)
    if parted is not None:
        return parted
    runs = wall_runs(floor)
    longest = max(runs, key=lambda run: run.square)
    shortest = min(runs, key=lambda run: run.square)
    ratio = rule.most / rule.least
    if longest.square <= ratio * ratio * shortest.square:
        return None
    rise = longest.ticks * rule.least
    return (
        f"a level rim cannot fall to this drain: {fall_text(rule.least)} over "
        f"{floor.words(longest.ticks)} rises {floor.words(rise)}, which over "
        f"{floor.words(shortest.ticks)} is {fall_text(rise / shortest.ticks)}, and "
        f"{fall_text(rule.most)} is the most; move the drain or take a linear one"
    )


def drain_place(pan: Pan) -> tuple[Fraction, Fraction]:
    """Return where the drain lies in a point pan: its centre unless it says."""
    if pan.drain_at is not None:
        return Fraction(pan.drain_at[0].ticks), Fraction(pan.drain_at[1].ticks)
    return Fraction(pan.width.ticks, 2), Fraction(pan.depth.ticks, 2)


def bowl_lay(
    floor: Floor, pan: Pan, turn: int, rule: SlopeRule
) -> tuple[PanBowl, Lay] | str:
    """Return a point pan laid with its drain on the floor's, or why it does not do.

    Units: `turn` in degrees, a quarter turn.
    Method: four inequalities, one a side, then the falls of the planes that are used.
    """
    if pan.kind != POINT:
        return "it is made for a linear drain, and the drain is a point"
    quarter = turn // 90
    place = drain_place(pan)
    if not (0 <= place[0] <= pan.width.ticks and 0 <= place[1] <= pan.depth.ticks):
        return "its drain lies outside it; check where its drain is"
    drain = floor.drain_points[0]
    turned = Frame(origin=(0, 0), along=QUARTER_TURNS[quarter]).outside(place)
    frame = Frame(
        origin=(drain[0] - turned[0], drain[1] - turned[1]),
        along=QUARTER_TURNS[quarter],
    )
    keep = frame.local_region(floor.region)
    x0, y0, x1, y1 = box_of(keep)
    reaches = (pan.width.ticks - x1, pan.depth.ticks - y1, x0, y0)
    short = [
        (-reach, side) for reach, side in zip(reaches, _SIDES, strict=True) if reach < 0
    ]
    if short:
        worst, side = max(short)
        return (
            f"with its drain on the drain it falls {floor.words(worst)} short on its "
            f"{side} side"
        )
    lay = Lay(pan=pan, frame=frame, keep=keep)
    if lay.forbidden_sides:
        return forbidden_reason(lay.forbidden_sides)
    bowl = _bowl(pan, quarter, drain, place)
    return _bowl_reason(floor, pan, bowl, rule) or (bowl, lay)


_SIDES = ("right", "far", "left", "drain")


def _bowl(
    pan: Pan, quarter: int, drain: Point, place: tuple[Fraction, Fraction]
) -> PanBowl:
    own = (pan.width.ticks - place[0], pan.depth.ticks - place[1], place[0], place[1])
    first, second, third, fourth = (own[(k - quarter) % 4] for k in range(4))
    return PanBowl(
        drain=drain,
        base=Fraction(pan.thin.ticks),
        rise=Fraction(pan.thick.ticks - pan.thin.ticks),
        runs=(first, second, third, fourth),
    )


def used_falls(floor: Floor, bowl: PanBowl) -> tuple[Fraction, ...]:
    """Return the falls of the pan's planes that are left in the floor."""
    x0, y0, x1, y1 = box_of(floor.region)
    x, y = bowl.drain
    reaches = (x1 - x, y1 - y, x - x0, y - y0)
    return tuple(
        bowl.rise / run
        for reach, run in zip(reaches, bowl.runs, strict=True)
        if reach > 0 and run > 0
    )


def _bowl_reason(floor: Floor, pan: Pan, bowl: PanBowl, rule: SlopeRule) -> str | None:
    falls = used_falls(floor, bowl)
    if not falls or bowl.rise <= 0:
        return "it does not fall; check its thin and thick edge"
    if max(falls) > rule.most:
        return (
            f"its steepest plane falls {fall_text(max(falls))} and "
            f"{fall_text(rule.most)} is the most"
        )
    if min(falls) < rule.least:
        return (
            f"its flattest plane falls {fall_text(min(falls))} and "
            f"{fall_text(rule.least)} is the least"
        )
    valley = valley_run(floor, bowl, bowl.base)
    if rule.run == CORNER and not valley.falls_at_least(rule.least):
        return (
            f"its fall to the farthest corner is {fall_text(valley.slope)} and "
            f"{fall_text(rule.least)} is the least"
        )
    lowest = floor.recess.lowest.ticks
    if pan.thin.ticks < lowest:
        return (
            f"it is {floor.words(pan.thin.ticks)} over the drain, which needs "
            f"{floor.words(lowest)}"
        )
    return None


def valley_run(floor: Floor, surface: Surface, base: Fraction) -> Run:
    """Return the run from a point drain to the farthest corner and its fall."""
    drain = floor.drain_points[0]
    far, corner = max(
        (Fraction((x - drain[0]) ** 2 + (y - drain[1]) ** 2), (x, y))
        for ring in floor.region
        for x, y in ring
    )
    return Run(
        to="corner",
        index=corner_number(floor, corner),
        at=corner,
        square=far,
        rise=surface.at(corner) - base,
    )


def rim_runs(floor: Floor, surface: Surface, base: Fraction) -> tuple[Run, ...]:
    """Return the fall along the run from every wall, straight to the drain.

    Where the foot of the run lies beyond the wall's end, the wall's plane is meant.
    """
    found = []
    edges = walls(floor)
    for run in wall_runs(floor):
        a, b = edges[run.index]
        foot = foot_on(floor.drain_points[0], a, b)
        found.append(
            Run(
                to="wall",
                index=side_number(floor, (a, b)),
                at=foot,
                square=run.square,
                rise=surface.at(foot) - base,
            )
        )
    return tuple(found)


def foot_on(point: Point, a: Point, b: Point) -> Point:
    """Return the foot of the perpendicular from a point to a line."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    part = Fraction((point[0] - a[0]) * dx + (point[1] - a[1]) * dy)
    part /= dx * dx + dy * dy
    return a[0] + part * dx, a[1] + part * dy


def rim_steps(floor: Floor, bowl: PanBowl) -> tuple[Step, ...]:
    """Return how far each wall's edge lies below the highest edge, where it does.

    A trimmed pan's rim is no longer level: what stands on it must be packed up.
    """
    edges = walls(floor)
    top = max(bowl.at(point) for a, b in edges for point in _stops(bowl, a, b))
    return tuple(
        step
        for a, b in edges
        for step in _rim_steps(bowl, border_name(floor, (a, b)), (a, b), top)
    )


def _rim_steps(
    bowl: PanBowl, name: str, edge: Segment, top: Fraction
) -> Iterator[Step]:
    for start, end in pairwise(_stops(bowl, *edge)):
        first, second = bowl.at(start) - top, bowl.at(end) - top
        if first or second:
            yield Step(where=name, start=start, end=end, at_start=first, at_end=second)


def _stops(bowl: PanBowl, a: Point, b: Point) -> list[Point]:
    """Return a wall's ends and the places between where the pan's planes meet."""
    found = {Fraction(0), Fraction(1)}
    px, py = bowl.drain
    right, up, left, down = bowl.runs
    valleys = (
        (1, right, 1, up),
        (1, right, -1, down),
        (-1, left, 1, up),
        (-1, left, -1, down),
    )
    for sx, across, sy, along in valleys:
        # On a valley |x|/across = |y|/along, both measured from the drain.
        first = sx * (a[0] - px) * along - sy * (a[1] - py) * across
        second = sx * (b[0] - px) * along - sy * (b[1] - py) * across
        if first * second < 0:
            found.add(Fraction(first) / (first - second))
    return [
        (a[0] + part * (b[0] - a[0]), a[1] + part * (b[1] - a[1]))
        for part in sorted(found)
    ]
