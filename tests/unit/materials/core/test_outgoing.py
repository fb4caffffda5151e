"""Pauses grow, end, and leave the rest to a person."""

from __future__ import annotations

from datetime import timedelta
from itertools import pairwise

from materials.core.outgoing import MOST_ATTEMPTS, PAUSES, goes_again, pause_after


def test_each_pause_is_longer_than_the_one_before() -> None:
    assert all(first < second for first, second in pairwise(PAUSES))


def test_every_try_but_the_last_has_its_pause() -> None:
    pauses = [pause_after(tries) for tries in range(1, MOST_ATTEMPTS + 1)]

    assert pauses == [*PAUSES, None]


def test_trying_ends_within_a_day() -> None:
    assert sum(PAUSES, timedelta()) < timedelta(days=1)


def test_a_letter_that_may_have_gone_is_repeated_once() -> None:
    assert [goes_again(times) for times in (1, 2)] == [True, False]
