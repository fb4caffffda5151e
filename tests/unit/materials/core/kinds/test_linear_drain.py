"""Drains: one a sloped floor, and its length against the one measured."""

from __future__ import annotations

from materials.core.kinds.linear_drain import need
from materials.core.lengths import Length
from materials.core.need import Extent, MaterialFacts, Recess

inch = Length.inch


def a_drain(length: str, *, cut: bool = False) -> MaterialFacts:
    return MaterialFacts(
        code="D",
        name="Gutter",
        kind="linear_drain",
        facts={"form": "linear", "length": inch(length), "cut_to_fit": cut},
    )


def a_recess(length: str, *, times: int = 1) -> Extent:
    return Extent(
        place="Shower",
        role="recess",
        outline=((0, 0), (1, 0), (1, 1)),
        times=times,
        recess=Recess(
            drain={"kind": "linear", "side": 0, "length": inch(length).ticks}
        ),
    )


def test_each_sloped_floor_takes_one() -> None:
    found = need(a_drain("32"), [a_recess("32", times=3), a_recess("32")], {})

    assert (found.quantity, found.notes) == (4, ())


def test_a_layer_may_say_how_many_each_takes() -> None:
    assert need(a_drain("32"), [a_recess("32")], {"pieces": 2}).quantity == 2


def test_a_drain_of_another_length_is_said() -> None:
    found = need(a_drain("32"), [a_recess("36")], {"system": "imperial"})

    assert "measured for a drain of 3′ 0″" in found.notes[0].replace("\u00a0", " ")


def test_a_longer_drain_that_may_be_cut_is_right() -> None:
    assert need(a_drain("48", cut=True), [a_recess("36")], {}).notes == ()
    assert need(a_drain("32", cut=True), [a_recess("36")], {}).notes != ()
