"""Mortar: notch geometry, printed coverage, volume, and the limits of a bed."""

from __future__ import annotations

from fractions import Fraction

import pytest

from materials.core.errors import OutOfRange
from materials.core.kinds.mortar import PI, Notch, combed_thickness, need
from materials.core.lengths import Length
from materials.core.need import Extent, MaterialFacts
from materials.core.outlines import rectangle, ring_area

mm = Length.mm
SQUARE_10 = Notch(kind="square", width=mm(10), depth=mm(10))


def a_mortar(**facts: object) -> MaterialFacts:
    return MaterialFacts(code="A", name="Adhesive", kind="mortar", facts=facts)


def a_floor(*, volume: Fraction | None = None, times: int = 1) -> Extent:
    outline = rectangle(0, 0, mm(2000).ticks, mm(1000).ticks)
    return Extent(
        place="Floor",
        role="floor",
        outline=outline,
        area=ring_area(outline),
        volume=volume,
        times=times,
    )


def test_a_square_notch_with_as_much_land_leaves_half_its_depth() -> None:
    assert combed_thickness(SQUARE_10, "90") == 5


def test_a_stated_land_counts() -> None:
    notch = Notch(kind="square", width=mm(6), depth=mm(8), land=mm(10))

    assert combed_thickness(notch, "90") == 3


def test_a_v_notch_leaves_half_of_a_square_one() -> None:
    assert combed_thickness(
        Notch(kind="v", width=mm(5), depth=mm(5)), "90"
    ) == Fraction(5, 2)


def test_a_round_notch_adds_its_half_circle() -> None:
    notch = Notch(kind="u", width=mm(10), depth=mm(10), land=mm(10))

    assert combed_thickness(notch, "90") == (50 + PI * 100 / 8) / 20


@pytest.mark.parametrize(
    ("angle", "least", "most"), [("60", "4.330", "4.331"), ("45", "3.535", "3.536")]
)
def test_a_blade_held_at_an_angle_leaves_less(
    angle: str, least: str, most: str
) -> None:
    assert Fraction(least) < combed_thickness(SQUARE_10, angle) < Fraction(most)


def test_adhesive_by_notch_is_litres_over_yield() -> None:
    found = need(
        a_mortar(litres_per_kg=Fraction("0.8")),
        [a_floor()],
        {"notch": SQUARE_10, "blade_angle": "90", "back_butter": mm(1)},
    )

    assert found.quantity == 2 * 6 / Fraction("0.8")


def test_an_assumed_yield_says_that_it_is_one() -> None:
    found = need(a_mortar(), [a_floor()], {"notch": SQUARE_10, "blade_angle": "90"})

    assert any("assumed" in step.formula for step in found.working)


def test_adhesive_without_a_notch_goes_by_its_printed_coverage() -> None:
    sheet = a_mortar(coverage_area=Fraction(8), coverage_of=Fraction(20))

    found = need(sheet, [a_floor(times=2)], {})

    assert found.quantity == 10


def test_adhesive_with_neither_is_refused() -> None:
    with pytest.raises(OutOfRange, match="needs a notch"):
        need(a_mortar(), [a_floor()], {})


def test_a_bed_goes_by_area_and_thickness() -> None:
    bed = a_mortar(use="bed", litres_per_kg=Fraction("0.5"))

    found = need(bed, [a_floor()], {"thickness": mm(40)})

    assert found.quantity == 160


def test_a_measured_volume_goes_before_thickness() -> None:
    leveller = a_mortar(use="leveller", litres_per_kg=Fraction("0.5"))

    found = need(
        leveller, [a_floor(volume=Fraction(7), times=2)], {"thickness": mm(40)}
    )

    assert found.quantity == 28


def test_a_bed_without_a_thickness_is_refused() -> None:
    with pytest.raises(OutOfRange, match="needs a thickness"):
        need(a_mortar(use="bed"), [a_floor()], {})


def test_a_bed_below_what_the_sheet_wants_is_said() -> None:
    found = need(
        a_mortar(thickness_min=mm(3)),
        [a_floor()],
        {"notch": Notch(kind="square", width=mm(4), depth=mm(4))},
    )

    assert "at least 3\u00a0mm" in found.notes[0]


def test_a_bed_above_what_the_sheet_allows_is_said() -> None:
    found = need(
        a_mortar(use="bed", thickness_max=mm(30)), [a_floor()], {"thickness": mm(40)}
    )

    assert "up to 30\u00a0mm" in found.notes[0]


def test_what_is_filled_by_volume_is_bought_so_beside_what_is_combed() -> None:
    """2 m² combed to 5 mm are 10 l; a tread of 8 l is filled: 18 l at 0.8 l/kg."""
    adhesive = a_mortar(use="adhesive", litres_per_kg=Fraction("0.8"))
    settings = {"notch": SQUARE_10, "blade_angle": "90", "loss": Fraction(0)}

    found = need(adhesive, [a_floor(), a_floor(volume=Fraction(8))], settings)

    assert found.quantity == Fraction("22.5")


def test_a_fill_thicker_or_thinner_than_the_sheet_allows_is_said() -> None:
    """40 l and 2 l on 2 m² are 20 and 1 mm."""
    adhesive = a_mortar(use="adhesive", thickness_min=mm(3), thickness_max=mm(15))
    extents = [a_floor(volume=Fraction(litres)) for litres in (40, 20, 2)]

    found = need(adhesive, extents, {"system": "metric"})

    assert [note.partition(": ")[2] for note in found.notes] == [
        "Adhesive goes up to 15\xa0mm; this bed is 20 mm.",
        "Adhesive wants a bed of at least 3\xa0mm; this bed is 1 mm.",
    ]
