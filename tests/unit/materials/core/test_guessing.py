"""How often somebody may guess."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.core.guessing import IN_ALL, MOST, WITHIN, Tries, times_from

NOON = datetime(2026, 3, 2, 12, 0, tzinfo=UTC)


def tried(*minutes_ago: int, in_all: int = 0) -> Tries:
    return Tries(
        recent=tuple(NOON - timedelta(minutes=one) for one in minutes_ago),
        in_all=in_all or len(minutes_ago),
    )


def test_the_tenth_try_passes_and_the_eleventh_does_not() -> None:
    tries = Tries()
    passed = []
    for _ in range(11):
        passed.append(tries.may_try(NOON, most=MOST, in_all=IN_ALL))
        tries = tries.with_one(NOON)

    assert passed == [True] * 10 + [False]


@pytest.mark.parametrize(("minutes", "may"), [(14, False), (15, True), (16, True)])
def test_a_try_counts_for_a_quarter_of_an_hour(minutes: int, may: bool) -> None:
    assert tried(*[minutes] * MOST).may_try(NOON, most=MOST, in_all=None) is may


def test_a_hundred_in_a_row_are_too_many_however_slow() -> None:
    assert tried(60, in_all=IN_ALL - 1).may_try(NOON, most=MOST, in_all=IN_ALL)
    assert not tried(60, in_all=IN_ALL).may_try(NOON, most=MOST, in_all=IN_ALL)
    assert tried(60, in_all=IN_ALL).may_try(NOON, most=MOST, in_all=None)


def test_a_right_one_ends_the_row_but_not_what_was_tried_lately() -> None:
    after = tried(5, 4, 3, in_all=40).after_success(NOON)

    assert (after.recent, after.in_all) == (tried(5, 4).recent, 0)


def test_an_address_gets_back_the_one_right_try_only() -> None:
    after = tried(5, 4, 3, in_all=40).without_one(NOON)

    assert (after.recent, after.in_all) == (tried(5, 4).recent, 39)


def test_what_a_wrong_clock_wrote_does_not_lock_for_long() -> None:
    later = Tries(recent=(NOON + timedelta(days=365),) * MOST, in_all=MOST)

    assert later.may_try(NOON, most=MOST, in_all=IN_ALL)


def test_rivals_count_each_other_whoever_looked_at_the_clock_first() -> None:
    later = Tries(recent=(NOON + timedelta(seconds=1),) * MOST, in_all=MOST)

    assert not later.may_try(NOON, most=MOST, in_all=IN_ALL)


@given(st.lists(st.integers(0, 3_600), max_size=200))
def test_no_quarter_of_an_hour_holds_more_than_ten(seconds: list[int]) -> None:
    tries, passed = Tries(), []
    for second in sorted(seconds):
        at = NOON + timedelta(seconds=second)
        if tries.may_try(at, most=MOST, in_all=None):
            tries = tries.with_one(at)
            passed.append(at)

    for first in passed:
        assert len([one for one in passed if first <= one < first + WITHIN]) <= MOST


def test_times_are_read_back_as_they_were_written() -> None:
    texts = [one.isoformat() for one in tried(1, 5).recent]

    assert times_from(texts) == tried(5, 1).recent
    assert times_from([]) == ()
