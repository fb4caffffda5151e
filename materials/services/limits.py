"""Holding back what is asked for too often, and guesses at private links.

Counted in the table of guesses, under a lock, so that every process sees one count and
no broker is needed. Where the count cannot be kept, as on a full disk, nobody is held
back: the engine's own limits still stand.
"""

from __future__ import annotations

import logging
from datetime import datetime

from django.db import DatabaseError
from django.http import HttpRequest
from django.utils import timezone

from materials.core.addresses import neighbourhood
from materials.core.limits import LINKS, Limit, TooOften
from materials.services import lockout
from materials.services.security import address_of, note

logger = logging.getLogger(__name__)


def take(request: HttpRequest, limit: Limit) -> None:
    """Count one more for whoever asks.

    Raises: TooOften when they are at the limit; nothing is counted then.
    """
    subject = _subject(request, limit)
    if subject is not None and not _taken(subject, at=timezone.now()):
        _refuse(request, limit)


def look_before_a_link(request: HttpRequest) -> None:
    """Refuse an address that guessed at too many links, before the next is looked up.

    Who is signed in is known, and not held back by guesses of others at their address.

    Raises: TooOften.
    """
    subject = None if request.user.is_authenticated else _subject(request, LINKS)
    if subject is not None and not lockout.may_try(subject, at=timezone.now()):
        _refuse(request, LINKS)


def count_a_dead_link(request: HttpRequest) -> None:
    """Count a link that opened nothing."""
    subject = None if request.user.is_authenticated else _subject(request, LINKS)
    if subject is not None:
        _taken(subject, at=timezone.now())


def _subject(request: HttpRequest, limit: Limit) -> lockout.Subject | None:
    """Return for whom is counted: the person, else the address; None if unknown."""
    if request.user.is_authenticated:
        who = f"person {request.user.pk}"
    else:
        place = neighbourhood(address_of(request))
        if not place:
            return None
        who = f"place {place}"
    return lockout.Subject(
        key=lockout.key_of("limit", limit.name, who), most=limit.most, in_all=None
    )


def _taken(subject: lockout.Subject, *, at: datetime) -> bool:
    try:
        return lockout.take_a_try([subject], at=at)
    except DatabaseError:
        logger.exception("A limit could not be counted.")
        return True


def _refuse(request: HttpRequest, limit: Limit) -> None:
    note("too often", request, what=limit.name, most=limit.most)
    raise TooOften(limit)
