"""Profiles from whole lengths: joined where longer, exact, numbered as given."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from materials.core.plans.edges import EdgePiece, planned_lengths, split_at_stock


def pieces(*lengths: int) -> list[EdgePiece]:
    return [EdgePiece(place="wall", length=length) for length in lengths]


def test_two_sides_and_a_back_take_two_lengths_and_one_cannot_be_enough() -> None:
    plan = planned_lengths(pieces(974, 974, 1312), stock=2500, kerf=3, words="trim")

    assert plan is not None
    assert (plan.cut.used, plan.verdict) == (2, "2 lengths; 1 cannot be enough.")
    assert plan.numbers == {"1 wall": 1, "2 wall": 2, "3 wall": 3}
    assert set(plan.places.values()) == {"wall"}


def test_a_piece_longer_than_the_stock_is_joined_of_whole_lengths_and_a_rest() -> None:
    parts = split_at_stock(pieces(6000), 2500)

    assert [part.length for part in parts] == [2500, 2500, 1000]


def test_no_piece_and_far_too_many_have_no_plan() -> None:
    assert planned_lengths([], stock=2500, kerf=0, words="trim") is None
    many = pieces(*[10] * 401)
    assert planned_lengths(many, stock=2500, kerf=0, words="trim") is None


def test_a_piece_shorter_than_the_saw_cut_still_has_a_place() -> None:
    plan = planned_lengths(pieces(2, 100), stock=2500, kerf=3, words="trim")

    assert plan is not None
    assert plan.cut.used == 1


@given(st.lists(st.integers(5, 2500), min_size=1, max_size=14), st.integers(0, 4))
def test_every_piece_is_cut_once_and_the_kerf_fits(
    lengths: list[int], kerf: int
) -> None:
    plan = planned_lengths(pieces(*lengths), stock=2500, kerf=kerf, words="trim")

    assert plan is not None
    cut = [piece for sheet in plan.cut.sheets for piece in sheet.pieces]
    assert sorted(piece.width for piece in cut) == sorted(lengths)
    for sheet in plan.cut.sheets:
        whole = sum(piece.width for piece in sheet.pieces)
        assert whole + kerf * (len(sheet.pieces) - 1) <= 2500
    assert plan.cut.used * 2500 >= sum(lengths)
