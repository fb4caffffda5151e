"""A rule is said where it is broken, with its source, and nowhere else."""

from __future__ import annotations

from typing import Any

import pytest

from tests.builders import a_bare_visit, a_surface
from tests.unit.quotes.core.test_clashes import a_list, cautions

RULES = {"offset", "narrow_joint", "movement_joint"}


def said(
    *, pattern: dict[str, Any] | None = None, exposure: str = "dry",
    shape: dict[str, Any] | None = None, **facts: str,
) -> dict[str, str]:  # fmt: skip
    given = {"length": "600", "width": "300", "thickness": "9", "joint": "4", **facts}
    tile = {"code": "T", "name": "Slate look", "kind": "tile", "facts": given}
    layer = {"role": "tile", "material": "T", "pattern": pattern or {"name": "stack"}}
    room = {"kind": "rectangle", "width": "3000", "height": "2400"}
    document = a_bare_visit(
        a_surface(build_up="f", exposure=exposure, shape=shape or room),
        build_ups={"f": {"name": "Floor", "layers": [layer]}},
        price_list=a_list(tile),
    )
    return {one.code: one.sentence for one in cautions(document) if one.code in RULES}


@pytest.mark.parametrize(
    ("offset", "length", "broken"),
    [("1/2", "600", True), ("1/3", "600", False), ("2/3", "600", False),
     ("1/2", "300", False)],
)  # fmt: skip
def test_a_long_tile_is_offset_by_a_third_at_most(
    offset: str, length: str, broken: bool
) -> None:
    found = said(pattern={"name": "running_bond", "offset": offset}, length=length)

    assert ("offset" in found) == broken
    if broken:
        assert "ANSI A108.02" in found["offset"]
        assert "second hand" in found["offset"]


def test_a_joint_below_a_sixteenth_is_said() -> None:
    assert "narrow_joint" in said(joint="1")
    assert "narrow_joint" not in said(joint="2")
    bond = {"name": "running_bond", "offset": "1/3"}
    assert "narrow_joint" in said(pattern=bond, joint="2")


def test_a_joint_is_three_times_what_the_tiles_differ() -> None:
    """ANSI A108.02 as quoted: at least three times the variation of the face."""
    assert "narrow_joint" not in said(joint="3", variation="1")
    found = said(joint="3", variation="1.2")

    assert "differ by up to 1.2" in found["narrow_joint"]
    assert "below 3.6" in found["narrow_joint"]


def test_a_long_run_needs_a_movement_joint_sooner_on_a_heated_floor() -> None:
    hall = {"kind": "rectangle", "width": "5000", "height": "2000"}
    long_hall = {"kind": "rectangle", "width": "8000", "height": "2000"}

    assert said(shape=hall) == {}
    assert "movement_joint" in said(shape=hall, exposure="heated")
    assert "EJ171" in said(shape=long_hall)["movement_joint"]
