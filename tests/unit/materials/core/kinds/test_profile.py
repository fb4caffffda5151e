"""Profiles: exposed edges cut from whole stock lengths, all layers together."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from math import ceil

from hypothesis import given
from hypothesis import strategies as st

from materials.core.kind import Lot
from materials.core.kinds.profile import (
    edge_pieces,
    first_fit_lengths,
    need,
    pooled,
)
from materials.core.lengths import NOTHING, Length
from materials.core.need import Edge, Extent, MaterialFacts

mm = Length.mm
BAR = MaterialFacts(
    code="P", name="Profile", kind="profile", facts={"length": mm(2500)}
)


def an_extent(*lengths: int, times: int = 1) -> Extent:
    return Extent(
        place="Wall",
        role="wall",
        outline=((0, 0), (1, 0), (1, 1)),
        edges=(
            *(Edge(kind="exposed", length=mm(length)) for length in lengths),
            Edge(kind="wall", length=mm(900)),
        ),
        reveals=(mm(300),),
        outside_corners=mm(700),
        times=times,
    )


def test_pieces_share_a_length_where_they_fit() -> None:
    pieces = [mm(1500), mm(1000), mm(1300), mm(1200)]

    assert first_fit_lengths(pieces, mm(2500), NOTHING) == 2


def test_a_saw_cut_can_take_the_fit_away() -> None:
    assert first_fit_lengths([mm(1500), mm(997)], mm(2500), mm(3)) == 1
    assert first_fit_lengths([mm(1500), mm(998)], mm(2500), mm(3)) == 2


def test_a_piece_longer_than_the_stock_is_joined() -> None:
    assert first_fit_lengths([mm(6000)], mm(2500), NOTHING) == 3


@given(st.lists(st.integers(1, 2500), min_size=1, max_size=30))
def test_first_fit_is_never_below_the_total_nor_far_above_it(
    lengths: list[int],
) -> None:
    count = first_fit_lengths([mm(length) for length in lengths], mm(2500), NOTHING)

    least = ceil(Fraction(sum(lengths), 2500))
    assert least <= count <= len(lengths)
    assert count <= 2 * least


def test_a_trim_follows_what_the_layer_says() -> None:
    extent = an_extent(2000)

    assert edge_pieces(extent, "exposed") == [mm(2000), mm(300)]
    assert edge_pieces(extent, "openings") == [mm(300)]
    assert edge_pieces(extent, "perimeter") == [mm(900)]
    assert edge_pieces(extent, "corners") == [mm(700)]
    assert edge_pieces(extent, "all") == [mm(2000), mm(300), mm(700)]


def test_repeats_are_cut_together() -> None:
    found = need(BAR, [an_extent(900, times=2)], {})

    assert (found.quantity, found.unit) == (1, "each")


def test_the_plan_is_exact_and_says_what_cannot_be_enough() -> None:
    found = need(BAR, [an_extent(1300, 1300, 1300)], {"along": "exposed"})

    assert (found.quantity, found.bound) == (3, "")
    assert found.working[-1].result == "3 lengths; 2 cannot be enough."


def test_two_layers_of_one_profile_are_cut_from_the_same_lengths() -> None:
    lots = [
        Lot(extents=(an_extent(900),), settings={"along": "exposed"}),
        Lot(extents=(an_extent(),), settings={"along": "perimeter"}),
    ]

    assert pooled(BAR, lots).quantity == 1


def test_where_first_fit_takes_one_more_the_plan_does_not() -> None:
    """Longest first: 5 + 4, 4 + 3 + 2 and one 2 over; 5 + 3 + 2 and 4 + 4 + 2 fit."""
    bar = MaterialFacts(
        code="P", name="Profile", kind="profile", facts={"length": mm(1000)}
    )
    lengths = [500, 400, 400, 300, 200, 200]
    extent = replace(an_extent(*lengths), reveals=())

    assert first_fit_lengths([mm(one) for one in lengths], mm(1000), NOTHING) == 3
    assert need(bar, [extent], {}).quantity == 2


def test_very_many_pieces_go_by_first_fit_and_say_so() -> None:
    found = need(BAR, [an_extent(1300, times=401)], {"along": "exposed"})

    assert found.plan is None
    assert "is the least" in found.bound


def test_a_lap_is_added_to_every_piece_for_mitres() -> None:
    found = need(BAR, [an_extent(2200)], {"lap": mm(10)})

    assert found.quantity == 2
