"""Pans: read from the sheet, counted, and refused where they cannot cover."""

from __future__ import annotations

import pytest
from moneyed import Money

from materials.core.errors import OutOfRange
from materials.core.kinds.foam_pan import need, pan_of
from materials.core.lengths import NOTHING, Length
from materials.core.need import Extent, MaterialFacts
from materials.core.outlines import rectangle

inch = Length.inch


def a_pan(**facts: object) -> MaterialFacts:
    given: dict[str, object] = {
        "form": "linear",
        "width": inch(60),
        "depth": inch(36),
        "thin": inch("3/4"),
        "thick": inch(2),
        **facts,
    }
    return MaterialFacts(code="P-60", name="Pan", kind="foam_pan", facts=given)


def a_recess(width: str, depth: str, *, times: int = 1) -> Extent:
    return Extent(
        place="Shower",
        role="recess",
        outline=rectangle(0, 0, inch(width).ticks, inch(depth).ticks),
        times=times,
    )


def test_a_linear_pan_is_read_with_its_slope() -> None:
    pan = pan_of(a_pan(strip=inch(4), strip_drop=inch("1/8")), Money("200", "USD"))

    assert (pan.name, pan.width, pan.depth) == ("P-60", inch(60), inch(36))
    assert pan.slope == inch("1 1/4") / inch(32)
    assert pan.strip_drop == inch("1/8")
    assert pan.drain_at is None


def test_the_sides_that_may_be_cut_are_read_and_all_may_be_by_default() -> None:
    some = pan_of(a_pan(trim="left, right"), Money("200", "USD"))

    assert some.trim == frozenset(("left", "right"))
    assert len(pan_of(a_pan(), Money("200", "USD")).trim) == 4


def test_a_point_pan_says_where_its_drain_is() -> None:
    pan = pan_of(
        a_pan(form="point", drain_x=inch(30), drain_y=inch(18)), Money("200", "USD")
    )

    assert pan.drain_at == (inch(30), inch(18))


def test_a_point_pan_without_its_drain_is_refused() -> None:
    with pytest.raises(OutOfRange, match="where its drain is"):
        pan_of(a_pan(form="point"), Money("200", "USD"))


def test_one_pan_each_recess_either_way_round() -> None:
    found = need(a_pan(), [a_recess("36", "60", times=2), a_recess("50", "30")], {})

    assert found.quantity == 3
    assert found.loss == NOTHING.ticks


def test_a_pan_that_does_not_cover_is_refused_with_both_sizes() -> None:
    with pytest.raises(OutOfRange, match="does not cover Shower"):
        need(a_pan(), [a_recess("61", "30")], {"system": "imperial"})
