"""What a private link's token is made of, and whether it still can be made.

A letter that is still to be sent keeps a seed; the signing key makes the token of it.
So no copy of the database can tell a token. It also means that a business restored
under another key cannot make the tokens it promised: the letter would carry an address
that opens nothing. A seed therefore ends in a few signs that only the key which made it
can repeat, and a letter that cannot be kept is never sent.
"""

from __future__ import annotations

import base64
import secrets

from django.utils.crypto import constant_time_compare, salted_hmac
from django.utils.translation import gettext as _

CHECK = 16
"""Signs of the check: 96 bits, which nobody meets by chance."""


def new_seed() -> str:
    """Return what a private link's token can be made of, given the signing key."""
    drawn = secrets.token_urlsafe(32)
    return f"{drawn}.{_check_of(drawn)}"


def token_of_seed(seed: str) -> str:
    """Return the token of a seed: 256 bits that no copy of the database can tell."""
    return _keyed("private link", seed)


def is_ours(seed: str) -> bool:
    """Return whether this signing key makes the token that was promised.

    A seed from before it carried a check is believed.
    """
    drawn, dot, check = seed.partition(".")
    return not dot or constant_time_compare(check, _check_of(drawn))


def why_not_ours() -> str:
    """Return what to do about a letter whose private link cannot be made here."""
    return _(
        "The signing key here is not the one with which this letter was written, so "
        "its private link cannot be made. Give it up, and write it anew from the "
        "quote's page."
    )


def _check_of(drawn: str) -> str:
    return _keyed("check of a seed", drawn)[:CHECK]


def _keyed(salt: str, text: str) -> str:
    digest = salted_hmac(salt, text, algorithm="sha256").digest()
    return base64.urlsafe_b64encode(digest).rstrip(b"=").decode("ascii")
