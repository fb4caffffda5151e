"""How long a sign-in lasts: unused, and in all."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """Time without use after which a sign-in ends, and time after which it ends."""

    unused: timedelta
    in_all: timedelta

    def are_over(self, *, began: datetime, seen: datetime, at: datetime) -> bool:
        """Return whether a sign-in begun then and last seen then has ended by `at`.

        A clock that was set back does not lengthen it: what began or was seen in the
        future has ended, too.
        """
        if began > at + AHEAD or seen > at + AHEAD:
            return True
        return at - seen >= self.unused or at - began >= self.in_all


AHEAD = timedelta(minutes=5)
"""So far clocks of two processes may differ."""
SEEN_EVERY = timedelta(minutes=5)
"""How seldom it is written down that a sign-in is in use."""
AT_A_DESK = Limits(unused=timedelta(hours=12), in_all=timedelta(days=7))
PROOF_HOLDS = timedelta(minutes=15)
"""So long after a password or a second step nobody is asked for it again."""


def kept(*, unused_days: int) -> Limits:
    """Return the limits of a phone that is to remember its person: 90 days in all."""
    return Limits(unused=timedelta(days=unused_days), in_all=timedelta(days=90))
