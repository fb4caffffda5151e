"""The records between measuring and buying."""

from __future__ import annotations

from fractions import Fraction

from materials.core.areas import NO_AREA
from materials.core.need import EDGE_KINDS, SUPPLIERS, Extent, Need, Recess


def test_an_extent_begins_plain_and_dry() -> None:
    extent = Extent(place="Hall", role="floor", outline=((0, 0), (1, 0), (0, 1)))

    assert (extent.area, extent.times, extent.exposure) == (NO_AREA, 1, "dry")
    assert extent.volume is None


def test_a_need_is_ours_to_supply_unless_it_says_otherwise() -> None:
    need = Need(material="G", unit="kg", quantity=Fraction(1))

    assert need.supplied_by == SUPPLIERS[0] == "us"
    assert need.least_packs == {}


def test_a_recess_falls_a_quarter_to_half_an_inch_a_foot_unless_told() -> None:
    recess = Recess(drain={})

    assert (recess.slope_min, recess.slope_max) == (Fraction(1, 48), Fraction(1, 24))


def test_edges_are_of_four_kinds() -> None:
    assert EDGE_KINDS == ("wall", "exposed", "threshold", "fold")
