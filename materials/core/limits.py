"""How often what costs much may be asked for, and each limit's reason.

All are counted within a quarter of an hour (`guessing.WITHIN`), for each person apart,
and stand well above a busy day's work: they stop a script, never the owner.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """So many times in a quarter of an hour; `name` tells limits apart in the log."""

    name: str
    most: int


PAPERS = Limit(name="papers", most=90)
"""Papers made: one takes about a second of an engine of which there is one a process.
A person who looks at every draft of a day makes a dozen; a kept paper is not counted.
"""
UPLOADS = Limit(name="uploads", most=150)
"""Photos: sixty belong to a visit at most, and two visits of a day without signal may
arrive together once it is back.
"""
TABLES = Limit(name="tables", most=60)
"""Tables taken away: each reads a whole price list, or all documents between two days,
before its first row is written. A bookkeeper takes four tables a quarter of a year, and
again after each correction.
"""
LETTERS = Limit(name="letters", most=60)
"""Letters: a month's invoices sent on one evening, one every quarter of a minute. What
a thief can send in the business's name before somebody sees it is bounded by it, too.
"""
LINKS = Limit(name="private links", most=30)
"""Private links that open nothing, from one address: a client whose mail program broke
the address tries a few times. No number of guesses finds one of 2**256; the limit
spares the database and keeps the log readable.
"""


class TooOften(Exception):
    """A limit is reached; nothing was done."""

    def __init__(self, limit: Limit) -> None:
        super().__init__(limit.name)
        self.limit = limit
