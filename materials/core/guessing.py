"""How often somebody may guess: what was tried before, and whether one more may be.

A try is written down before the password is looked at and taken back once it was right,
so that tries made at the same moment count each other.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta

WITHIN = timedelta(minutes=15)
MOST = 10
"""Wrong tries for one sign-in name within that time."""
MOST_OF_AN_ADDRESS = 30
"""Wrong tries from one address, whatever the names, within that time."""
IN_ALL = 100
"""Wrong tries for one name without a right one between; then somebody must let it in.

Source: NIST SP 800-63B, 5.2.2, asks for no more than 100 in a row (from memory).
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tries:
    """What was tried in vain: the latest times, oldest first, and how many in all."""

    recent: tuple[datetime, ...] = ()
    in_all: int = 0

    def lately(self, at: datetime) -> tuple[datetime, ...]:
        """Return the times within a quarter of an hour of `at`.

        Rivals that looked at the clock earlier may write later, so times shortly after
        `at` count; times long after it were written by a clock that was wrong.
        """
        return tuple(one for one in self.recent if abs(at - one) < WITHIN)

    def may_try(self, at: datetime, *, most: int, in_all: int | None) -> bool:
        """Return whether one more try is within both limits; None is no limit."""
        if in_all is not None and self.in_all >= in_all:
            return False
        return len(self.lately(at)) < most

    def with_one(self, at: datetime) -> Tries:
        """Return the tries with one more at `at`."""
        recent = tuple(sorted((*self.lately(at), at)))
        return Tries(recent=recent, in_all=self.in_all + 1)

    def after_success(self, at: datetime) -> Tries:
        """Return the tries once the latest turned out right.

        What was tried before it stays within the quarter of an hour, so that whoever
        knows one password cannot wipe out guesses at it; the count in a row ends.
        """
        return Tries(recent=self.lately(at)[:-1])

    def without_one(self, at: datetime) -> Tries:
        """Return the tries without the latest, which was right; all others stay."""
        return Tries(recent=self.lately(at)[:-1], in_all=max(0, self.in_all - 1))


def times_from(texts: Iterable[str]) -> tuple[datetime, ...]:
    """Return stored times, oldest first.

    Shape: ISO 8601 with an offset; an empty input gives an empty tuple.

    >>> times_from(["2026-03-02T09:00:00+00:00"])[0].hour
    9
    """
    return tuple(sorted(datetime.fromisoformat(text) for text in texts))
