"""Sealant: metres of corner and edge by the section of the joint."""

from __future__ import annotations

from fractions import Fraction

import pytest

from materials.core.kinds.sealant import need
from materials.core.lengths import Length
from materials.core.need import Extent, MaterialFacts

mm = Length.mm
TUBE = MaterialFacts(
    code="S",
    name="Sealant",
    kind="sealant",
    facts={"joint": mm(6), "depth": mm(5), "loss": Fraction(1, 10)},
)
BATH = Extent(
    place="Bath",
    role="wall",
    outline=((0, 0), (1, 0), (1, 1)),
    inside_corners=mm(4000),
    perimeter=mm(2000),
    times=2,
)


def test_the_volume_is_metres_by_width_by_depth_and_loss() -> None:
    found = need(TUBE, [BATH], {})

    assert found.quantity == 12 * 6 * 5 * Fraction(11, 10)
    assert found.unit == "ml"


@pytest.mark.parametrize(
    ("along", "metres"), [("corners", 8), ("perimeter", 4), ("all", 12)]
)
def test_a_layer_may_be_for_corners_or_for_edges_alone(along: str, metres: int) -> None:
    found = need(TUBE, [BATH], {"along": along})

    assert found.quantity - found.loss == metres * 30


def test_the_layer_s_joint_goes_before_the_sheet_s() -> None:
    found = need(TUBE, [BATH], {"joint": mm(10), "depth": mm(10)})

    assert found.quantity - found.loss == 1200


def test_a_sheet_that_says_nothing_gets_an_eighth_of_an_inch() -> None:
    plain = MaterialFacts(code="S", name="Sealant", kind="sealant", facts={})

    found = need(plain, [BATH], {})

    assert found.quantity == 12 * Fraction("3.175") ** 2
