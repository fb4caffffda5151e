from __future__ import annotations

from fractions import Fraction
from itertools import pairwise
from typing import Any

import pytest

from materials.core import amounts
from materials.core.cutting.pan_outlines import Point, Ring, is_inside
from materials.core.cutting.pan_records import Recess, SlopeRule, Way
from materials.core.lengths import INCH
from tests.pan_cases import (
    RULE,
    a_drain,
    a_mortar,
    a_point,
    a_recess,
    box,
    corner_heights,
    drain_heights,
    fitted,
    inches,
    outline,
    reasons,
)

ELL = outline((0, 0), (48, 0), (48, 20), (30, 20), (30, 38), (0, 38))
SKEW = outline((0, 0), (40, 1), ("39 1/2", 31), ("1/4", 30))
CORNER = SlopeRule(least=Fraction(1, 48), most=Fraction(1, 24), run="corner")


def bed(recess: Recess, rule: SlopeRule = RULE, **changes: Any) -> Way:
    return fitted(recess, rule=rule, mortar=a_mortar(**changes)).ways[0]


def cubic_inches(way: Way) -> Fraction:
    assert way.bed is not None
    return way.bed.volume / INCH**3


def fan_volume(way: Way, ring: Ring) -> Fraction:
    """Sum the prisms of a fan from the first corner: exact for a single plane."""
    total = Fraction(0)
    a = ring[0]
    for b, c in pairwise(ring[1:]):
        twice = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
        heights = [way.surface.at(point) for point in (a, b, c)]
        total += Fraction(twice) / 2 * sum(heights) / 3
    return total / INCH**3


def sampled_volume(way: Way, ring: Ring, steps: int) -> Fraction:
    """Sum columns over a grid: near the truth, knowing nothing of wedges."""
    xs, ys = [x for x, _ in ring], [y for _, y in ring]
    wide, deep = max(xs) - min(xs), max(ys) - min(ys)
    total = Fraction(0)
    for i in range(steps):
        for j in range(steps):
            point: Point = (
                min(xs) + Fraction(2 * i + 1, 2 * steps) * wide,
                min(ys) + Fraction(2 * j + 1, 2 * steps) * deep,
            )
            if is_inside(point, ring):
                total += way.surface.at(point)
    return total * wide * deep / steps**2 / INCH**3


def test_a_bed_to_a_linear_drain_is_a_wedge_of_exact_volume() -> None:
    way = bed(a_recess())

    # 38 × 35 in: an inch all over and 1 in 48 on top.
    assert cubic_inches(way) == 38 * 35 + Fraction(38 * 35 * 35, 2 * 48)
    assert way.cost == amounts.money("90.74", "USD")
    assert way.slope == Fraction(1, 48)
    assert way.trimmed_share == 0


@pytest.mark.parametrize(
    ("shape", "drain", "within"),
    [
        (ELL, a_drain(0, 0, 48), Fraction(0)),
        (ELL, a_drain(5, 5, 20), Fraction(0)),
        (SKEW, a_drain(0, 2, 30), Fraction(1, 10**9)),
        (SKEW, a_drain(2, 2, 30), Fraction(1, 10**9)),
    ],
    ids=["ell", "ell from the left", "askew", "askew from the back"],
)
def test_the_volume_of_any_outline_is_that_of_its_prisms(
    shape: Ring, drain: Any, within: Fraction
) -> None:
    way = bed(a_recess(outline=shape, drain=drain))

    assert abs(cubic_inches(way) - fan_volume(way, shape)) <= within


def test_a_bed_to_a_point_drain_falls_from_a_level_rim() -> None:
    way = bed(a_recess(drain=a_point(20, 17)))

    # 20 in is the longest run.
    assert set(corner_heights(way)) == {1 + Fraction(20, 48)}
    assert drain_heights(way) == [1]
    assert cubic_inches(way) == 38 * 35 * (1 + Fraction(2, 3) * Fraction(20, 48))
    assert min(run.slope for run in way.runs) == Fraction(1, 48)
    off = sampled_volume(way, box(0, 0, 38, 35), 40) / cubic_inches(way) - 1
    assert abs(off) < Fraction(1, 1000)


def test_a_bed_round_an_elbow_seen_from_the_drain_is_measured_too() -> None:
    ell = outline((0, 0), (40, 0), (40, 34), (32, 34), (32, 38), (0, 38))
    way = bed(a_recess(outline=ell, drain=a_point(18, 18)))

    off = sampled_volume(way, ell, 40) / cubic_inches(way) - 1
    assert abs(off) < Fraction(1, 100)


def test_a_wall_hidden_from_the_drain_refuses_the_bed() -> None:
    ell = outline((0, 0), (50, 0), (50, 30), (26, 30), (26, 56), (0, 56))

    fit = fitted(a_recess(outline=ell, drain=a_point(28, 20)), mortar=a_mortar())

    assert fit.ways == ()
    reason = reasons(fit, "mortar bed", None)[0]
    assert "level rim" in reason or "not seen straight" in reason
    assert (
        "not seen straight"
        in reasons(
            fitted(
                a_recess(outline=ell, drain=a_point(34, 15)),
                rule=SlopeRule(least=Fraction(1, 200), most=Fraction(1, 10)),
                mortar=a_mortar(),
            ),
            "mortar bed",
            None,
        )[0]
    )


def test_a_flat_area_clear_of_the_walls_refuses_a_bed_to_a_point() -> None:
    recess = a_recess(drain=a_point(10, 17), flats=(box(24, 14, 28, 18),))
    wide = SlopeRule(least=Fraction(1, 200), most=Fraction(1, 10))

    fit = fitted(recess, rule=wide, mortar=a_mortar())

    assert "stands clear of the walls" in reasons(fit, "mortar bed", None)[0]


def test_the_bed_is_as_thick_as_drain_and_mortar_ask() -> None:
    assert drain_heights(bed(a_recess(lowest=inches("1 1/4")))) == [
        Fraction(5, 4),
        Fraction(5, 4),
    ]
    assert drain_heights(bed(a_recess(lowest=inches("1/2"))))[0] == 1


def test_measured_to_the_corner_the_bed_is_steeper() -> None:
    recess = a_recess(drain=a_drain(0, 16, 6))

    way = bed(recess, CORNER)

    assert way.valley.slope >= Fraction(1, 48)
    assert way.valley.slope - Fraction(1, 48) < Fraction(1, 10**6)
    assert way.slope > Fraction(1, 48)
    # 16 in across and 35 in up: the plane must fall a tenth steeper than the corner.
    strict = SlopeRule(least=Fraction(1, 48), most=Fraction(1, 47), run="corner")
    assert fitted(recess, rule=strict, mortar=a_mortar()).ways == ()


def test_a_point_bed_measured_to_the_corner_may_be_too_steep_at_a_wall() -> None:
    recess = a_recess(drain=a_point(19, 17))

    way = bed(recess, CORNER)

    assert way.valley.slope >= Fraction(1, 48)
    strict = SlopeRule(least=Fraction(1, 48), most=Fraction(1, 40), run="corner")
    fit = fitted(recess, rule=strict, mortar=a_mortar())
    assert (
        "with 2.08 % (1 in 48) to the farthest corner"
        in reasons(fit, "mortar bed", None)[0]
    )


def test_bags_are_whole_and_the_floor_is_told_the_weight() -> None:
    way = bed(
        a_recess(), bag=Fraction(600) * INCH**3, kg_per_cubic_metre=Fraction(2000)
    )

    assert way.bed is not None
    # 1814.9 cubic inches at 600 a bag; 0.0297 m³ at 2,000 kg.
    assert way.bed.bags == 4
    assert round(way.bed.kg or 0, 1) == Fraction(595, 10)
    assert "make sure the floor carries it" in way.cautions[-1]


def test_a_flat_area_is_left_out_of_the_bed() -> None:
    way = bed(a_recess(flats=(box(0, 24, 38, 35),)))

    assert cubic_inches(way) == 38 * 24 + Fraction(38 * 24 * 24, 2 * 48)


@pytest.mark.parametrize(
    ("fall", "rise"), [("1/48", "5/8"), ("1/24", "1 1/4")], ids=["least", "greatest"]
)
def test_a_run_of_thirty_inches_rises_by_its_fall(fall: str, rise: str) -> None:
    rule = SlopeRule(least=Fraction(fall), most=Fraction(1, 24))

    way = bed(a_recess(outline=box(0, 0, 38, 30)), rule)

    assert way.bed is not None
    assert way.bed.most - way.bed.least == inches(rise).ticks
