"""What makes a password easy to guess, whatever letters it is made of.

No rule says which signs a password must have: such rules make people write Password1!.
Length is asked for elsewhere; here what is long and still no secret is found.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

LEAST_OF_ITS_OWN = 8
"""Letters and digits beside the words that anybody would try here first."""
ROWS = (
    "abcdefghijklmnopqrstuvwxyz",
    "1234567890",
    "qwertyuiopasdfghjklzxcvbnm",
    "qwertzuiopasdfghjklyxcvbnm",
)
_SIGNS = re.compile(r"[\W_]+")
_ENDS = re.compile(r"^[\W\d_]+|[\W\d_]+$")


def is_said_over(password: str) -> bool:
    """Return whether a password is one shorter thing said again and again.

    >>> is_said_over("trowel-trowel-trowel-"), is_said_over("trowel-and-float-2")
    (True, False)
    """
    folded = password.casefold()
    return bool(folded) and folded in (folded + folded)[1:-1]


def is_a_row(password: str) -> bool:
    """Return whether a password walks along the alphabet, the digits or the keys.

    >>> is_a_row("qwertyuiopasdfgh"), is_a_row("98765432109876543")
    (True, True)
    """
    folded = _SIGNS.sub("", password.casefold())
    rows = [row * (len(folded) // len(row) + 2) for row in ROWS]
    return len(folded) > 2 and any(folded in row or folded[::-1] in row for row in rows)


def heart_of(password: str) -> str:
    """Return a password without the digits and signs at its ends, in small letters.

    >>> heart_of("!!Password1234567")
    'password'
    """
    return _ENDS.sub("", password.casefold())


def own_part(password: str, *, known: Iterable[str]) -> int:
    """Return how many letters and digits are left beside words anybody would try.

    Words of fewer than three letters are left where they stand.

    >>> own_part("Fennick & Osei 2026", known=["Fennick", "Osei"])
    4
    """
    rest = password.casefold()
    for word in sorted({one.casefold() for one in known}, key=len, reverse=True):
        if len(word) > 2:
            rest = rest.replace(word, " ")
    return len(_SIGNS.sub("", rest))


def words_of(*texts: str) -> list[str]:
    """Return the words of names and addresses, parted at everything but letters.

    >>> words_of("Fennick and Osei", "ada@tiles.example")
    ['Fennick', 'and', 'Osei', 'ada', 'tiles', 'example']
    """
    return [word for text in texts for word in _SIGNS.split(text) if word]
