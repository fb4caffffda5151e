"""Limits of what costs much: told apart, and above what a busy day asks for."""

from __future__ import annotations

import pytest

from materials.core import limits
from materials.core.guessing import MOST
from materials.core.limits import Limit, TooOften

ALL = [one for one in vars(limits).values() if isinstance(one, Limit)]
BUSY = {"papers": 60, "uploads": 120, "tables": 45, "letters": 45, "private links": 10}
"""What one person may come to within a quarter of an hour, by hand: a paper or a letter
every fifteen or twenty seconds, a table likewise, two visits of sixty photos, ten tries
at an address.
"""


def test_every_limit_has_a_name_of_its_own() -> None:
    assert {one.name for one in ALL} == set(BUSY)
    assert len(ALL) == len(BUSY)


@pytest.mark.parametrize("limit", ALL, ids=lambda one: one.name)
def test_a_limit_stands_above_a_busy_quarter_of_an_hour(limit: Limit) -> None:
    assert limit.most > BUSY[limit.name]
    assert limit.most > MOST


def test_what_is_raised_says_which_limit() -> None:
    error = TooOften(limits.LETTERS)

    assert error.limit is limits.LETTERS
    assert str(error) == "letters"
