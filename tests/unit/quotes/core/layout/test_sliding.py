"""Pieces sawn on both sides may move along their tile."""

from __future__ import annotations

from quotes.core.layout.fit import Fit
from quotes.core.layout.records import box
from quotes.core.layout.sliding import SlidingFit, slid
from quotes.core.pattern import oblong
from quotes.core.patterns.hexagon import hexagon

ITEM = oblong("tile", 3000, 2000)
MIDDLE = box(0, 500, 3000, 600)
CORNER = box(0, 0, 900, 700)


def sliding(kerf: int = 0) -> SlidingFit:
    return SlidingFit(ITEM, [MIDDLE, CORNER], kerf=kerf, turns=(0, 180))


def test_a_piece_with_factory_edges_keeps_its_place() -> None:
    assert {move[1:] for move in sliding().moves[1]} == {(0, 0)}


def test_a_piece_sawn_below_and_above_moves_up_and_down_only() -> None:
    moves = sliding().moves[0]

    assert {along for _, along, _ in moves} == {0}
    assert len({across for _, _, across in moves}) > 1


def test_every_place_lies_inside_the_tile() -> None:
    fit = sliding(kerf=40)

    for rank in range(len(fit.moves[0])):
        ring = fit.outline_of(0, rank, MIDDLE)
        assert 0 <= min(y for _, y in ring) <= max(y for _, y in ring) <= 2000


def test_agreement_is_mutual() -> None:
    fit = sliding(kerf=40)
    bits = len(fit.masks)

    for one in range(bits):
        for other in range(bits):
            assert fit.masks[one] >> other & 1 == fit.masks[other] >> one & 1


def test_a_fit_where_nothing_can_slide_is_kept() -> None:
    fixed = Fit(ITEM, [CORNER], kerf=0, turns=(0, 180))
    six = Fit(hexagon("tile", 2000), [CORNER], kerf=0, turns=(0,))

    assert slid(fixed, [CORNER]) is fixed
    assert slid(six, [CORNER]) is six
    assert isinstance(slid(fixed, [MIDDLE]), SlidingFit)
