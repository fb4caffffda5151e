from __future__ import annotations

from fractions import Fraction

from materials.core.cutting.pan_floor import floor_of
from materials.core.cutting.pan_records import Pan, Recess
from materials.core.cutting.pan_section import Section, section_of, span, stretches
from materials.core.lengths import INCH
from tests.pan_cases import (
    a_board,
    a_drain,
    a_mortar,
    a_pan,
    a_point,
    a_point_pan,
    a_recess,
    box,
    fitted,
    outline,
)


def section(recess: Recess, *pans: Pan, **stock: object) -> Section:
    way = fitted(recess, *pans, **stock).ways[0]
    return section_of(floor_of(recess), way)


def in_inches(
    profile: tuple[tuple[Fraction, Fraction], ...],
) -> list[tuple[Fraction, Fraction]]:
    return [(Fraction(x) / INCH, Fraction(y) / INCH) for x, y in profile]


def test_a_linear_pan_is_cut_through_with_its_strip_cut_off() -> None:
    found = section(a_recess(), a_pan())

    thin = Fraction(5, 6)
    assert in_inches(found.pans[0].whole) == [
        (-4, thin - Fraction(1, 8)),
        (0, thin - Fraction(1, 8)),
        (0, thin),
        (42, 2),
        (42, 0),
        (-4, 0),
    ]
    assert in_inches(found.pans[0].kept[0]) == [
        (0, thin),
        (35, thin + Fraction(35, 36)),
        (35, 0),
        (0, 0),
    ]


def test_a_kept_strip_shows_its_step() -> None:
    found = section(a_recess(drain=a_drain(0, 4, 30)), a_pan())

    strip = Fraction(5, 6) - Fraction(1, 8)
    assert in_inches(found.pans[0].kept[0])[:3] == [
        (0, strip),
        (4, strip),
        (4, Fraction(5, 6)),
    ]


def test_a_board_stands_behind_the_slope_and_a_bed_is_solid() -> None:
    flat = a_recess(flats=(box(0, 24, 38, 35),))
    with_board = section(flat, a_pan(), boards=(a_board(),))
    bed = section(a_recess(), mortar=a_mortar())

    assert in_inches(with_board.boards[0]) == [(24, 2), (35, 2), (35, 0), (24, 0)]
    assert in_inches(bed.bed[0])[0] == (0, 1)
    assert [Fraction(one) / INCH for one in span(with_board)] == [-22, 35, 2]


def test_a_point_pan_is_cut_level_through_its_drain() -> None:
    found = section(a_recess(drain=a_point(20, 17)), a_point_pan())

    profile = in_inches(found.pans[0].kept[0])
    assert profile[:3] == [
        (-20, Fraction(3, 2)),
        (0, 1),
        (18, 1 + Fraction(18, 40)),
    ]
    assert in_inches(found.marks)[1] == (0, 1)


def test_a_line_crosses_a_notched_outline_in_two_stretches() -> None:
    fork = outline(
        (-9, 0), (9, 0), (9, 9), (-3, 9), (-3, 12), (9, 12), (9, 20), (-9, 20)
    )

    assert [(low / INCH, high / INCH) for low, high in stretches((fork,))] == [
        (0, 9),
        (12, 20),
    ]
