"""The proof of how few tiles are needed holds, and is tight where it can be."""

from __future__ import annotations

import itertools
from collections import Counter
from functools import cache

from hypothesis import given, settings
from hypothesis import strategies as st

from quotes.core.layout.certificate import certified
from quotes.core.layout.fit import Fit
from quotes.core.layout.records import box
from quotes.core.pattern import oblong
from tests.cases import CASES

ITEM = oblong("tile", 3000, 2000)


def fewest_by_trying_everything(fit: Fit, counts: tuple[int, ...]) -> int:
    """Return the fewest tiles by trying every set for every remainder."""
    placements = list(itertools.product(range(len(counts)), range(fit.per_class)))
    sets = [
        chosen
        for size in (1, 2, 3, 4)
        for chosen in itertools.combinations_with_replacement(placements, size)
        if all(fit.agrees(a, b) for a, b in itertools.combinations(chosen, 2))
        and fit.is_parted(chosen)
    ]
    uses = {tuple(sorted(Counter(p for p, _ in chosen).items())) for chosen in sets}

    @cache
    def fewest(left: tuple[int, ...]) -> int:
        if not any(left):
            return 0
        first = next(index for index, n in enumerate(left) if n)
        best = sum(left)
        for use in uses:
            if not any(piece == first for piece, _ in use):
                continue
            rest = list(left)
            for piece, n in use:
                rest[piece] = max(0, rest[piece] - n)
            best = min(best, 1 + fewest(tuple(rest)))
        return best

    return fewest(counts)


@st.composite
def lots(draw: st.DrawFn) -> tuple[Fit, tuple[int, ...]]:
    rings, counts = [], []
    for _ in range(draw(st.integers(1, 4))):
        wide = draw(st.sampled_from([600, 900, 1000, 1400, 1600, 2200]))
        high = draw(st.sampled_from([500, 900, 1000, 1100, 2000]))
        x = draw(st.sampled_from([0, 3000 - wide]))
        y = draw(st.sampled_from([0, 2000 - high]))
        rings.append(box(x, y, wide, high))
        counts.append(draw(st.integers(1, 3)))
    return Fit(ITEM, rings, kerf=20, turns=(0, 180)), tuple(counts)


@given(lot=lots())
@settings(max_examples=max(80, CASES // 20), deadline=None)
def test_bound_and_choice_close_in_on_the_true_fewest(
    lot: tuple[Fit, tuple[int, ...]],
) -> None:
    fit, counts = lot
    true = fewest_by_trying_everything(fit, counts)

    certificate, better = certified(fit, counts, [], goal=sum(counts))

    assert certificate.bound <= true
    assert true - certificate.bound <= 1
    if better is not None:
        assert sum(times for _, times in better) >= true


@given(lot=lots())
@settings(max_examples=40, deadline=None)
def test_no_set_is_worth_more_than_the_certificate_says(
    lot: tuple[Fit, tuple[int, ...]],
) -> None:
    fit, counts = lot
    certificate, _ = certified(fit, counts, [], goal=sum(counts))
    placements = list(itertools.product(range(len(counts)), range(fit.per_class)))

    for size in (1, 2, 3, 4):
        for chosen in itertools.combinations_with_replacement(placements, size):
            used = Counter(piece for piece, _ in chosen)
            if any(used[piece] > counts[piece] for piece in used):
                continue
            if all(
                fit.agrees(a, b) for a, b in itertools.combinations(chosen, 2)
            ) and fit.is_parted(chosen):
                worth = sum(certificate.prices[piece] for piece, _ in chosen)
                assert worth <= certificate.worth


def test_pieces_that_never_share_need_a_tile_each() -> None:
    fit = Fit(ITEM, [box(0, 0, 1600, 2000)], kerf=0, turns=(0, 180))

    certificate, _ = certified(fit, (7,), [], goal=9)

    assert certificate.bound == 7
