"""When to try again what could not be sent, and when to leave it to a person.

A letter whose sending broke off may have gone or not. It is sent once more by itself,
under the same Message-ID: better twice than not at all. Should that break off as well,
nobody but a person can decide.
"""

from __future__ import annotations

from datetime import timedelta

PAUSES = tuple(
    timedelta(minutes=minutes) for minutes in (1, 2, 5, 15, 30, 60, 120, 240, 480)
)
"""After the first, second, ... try that failed: about sixteen hours in all."""
MOST_ATTEMPTS = len(PAUSES) + 1
MOST_REFUSALS = 3
"""A paper that the engine refuses three times will not be made by asking again."""
MOST_UNSURE = 1
"""How often a letter that may have gone is sent again by itself."""


def pause_after(attempts: int) -> timedelta | None:
    """Return how long to wait after so many tries; None when it was tried enough.

    >>> pause_after(1)
    datetime.timedelta(seconds=60)
    >>> pause_after(MOST_ATTEMPTS) is None
    True
    """
    return PAUSES[attempts - 1] if attempts < MOST_ATTEMPTS else None


def goes_again(unsure: int) -> bool:
    """Return whether a letter that broke off so many times is sent again by itself."""
    return unsure <= MOST_UNSURE
