"""Offset, joints and movement joints of tile, as printed."""

from __future__ import annotations

from fractions import Fraction

import pytest

from materials.core.lengths import NOTHING, Length
from quotes.core.joint_rules import (
    INSIDE,
    LEAST_BOND_JOINT,
    LONG_SIDE,
    MOST_OFFSET,
    OUTSIDE,
    PUBLISHED,
)
from quotes.core.tile_rules import least_joint
from tests.published.source_files import load

JOINTS = load("ansi_a108_joints")
MOVEMENT = load("tcna_ej171")


@pytest.mark.parametrize("case", JOINTS["joint"], ids=lambda case: case["id"])
def test_the_joint_follows_the_variation_as_printed(case: dict[str, str]) -> None:
    text = case["variation"]
    variation = NOTHING if text == "0" else Length.inch(text)
    found = least_joint(variation, PUBLISHED["us"], LONG_SIDE)
    assert found == Length.inch(case["joint"])


def test_offset_and_bond_joint_are_the_printed_ones() -> None:
    (offset,), (bond,) = JOINTS["offset"], JOINTS["bond"]
    assert Length.inch(offset["side"]) == LONG_SIDE == Length.inch(bond["side"])
    assert Fraction(offset["most_percent"]) / 100 == MOST_OFFSET
    assert Length.inch(bond["joint"]) == LEAST_BOND_JOINT


def test_movement_joints_stand_as_far_apart_as_printed() -> None:
    most = {row["where"]: Length.inch(row["most"]) for row in MOVEMENT["spacing"]}
    assert most == {"inside": INSIDE, "outside": OUTSIDE}


BRITISH = load("bs_5385_movement")
GERMAN = load("din_18352_joints")


@pytest.mark.parametrize("case", BRITISH["spacing"], ids=lambda case: case["id"])
def test_british_movement_joints_stand_as_printed(case: dict[str, str]) -> None:
    assert getattr(PUBLISHED["uk"], case["where"]) == Length.mm(case["most"])


@pytest.mark.parametrize("case", GERMAN["joint"], ids=lambda case: case["id"])
def test_german_joints_are_as_wide_as_printed(case: dict[str, str]) -> None:
    edge, joint = Length.mm(case["edge"]), Length.mm(case["joint"])

    assert least_joint(NOTHING, PUBLISHED["eu"], edge) == joint
