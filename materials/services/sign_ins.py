"""Sign-ins from their beginning to their end, and the limits they are held to.

What a request must know stands in the session, which is read anyway: when it began,
was last seen, whether the device keeps its person, when a secret was last proved. So a
request costs no question more; once in five minutes it is written that it is in use.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from django.conf import settings
from django.contrib.auth import SESSION_KEY
from django.contrib.sessions.models import Session
from django.db import transaction
from django.http import HttpRequest
from django.utils import timezone

from materials.core.devices import kind_of, names_of
from materials.core.session_limits import (
    AT_A_DESK,
    PROOF_HOLDS,
    SEEN_EVERY,
    Limits,
    kept,
)
from materials.models import Person, SignIn
from materials.services.security import note

BEGAN, SEEN, KEEPS, PROVED = "began", "seen", "keeps", "proved"
KEEPS_PERSON = "keeps_person"
"""What the page of sign-in says of the device, on its request."""


def limits_of(*, keeps: bool) -> Limits:
    """Return the limits of a phone that keeps its person, or of a desk."""
    return kept(unused_days=settings.SESSION_DAYS) if keeps else AT_A_DESK


@transaction.atomic
def begin(request: HttpRequest, person: Person, *, at: datetime) -> SignIn:
    """Write down that a person signed in just now, by a session that is theirs."""
    session = request.session
    keeps = bool(getattr(request, KEEPS_PERSON, session.get(KEEPS, False)))
    session[BEGAN] = session[SEEN] = session[PROVED] = at.isoformat()
    session[KEEPS] = keeps
    session.set_expiry(int(limits_of(keeps=keeps).unused.total_seconds()))
    if session.session_key is None:
        session.create()
    agent = request.META.get("HTTP_USER_AGENT", "")[:400]
    _sweep(person)
    row, _new = SignIn.objects.update_or_create(
        session_key=session.session_key,
        defaults={
            "person": person,
            "device": kind_of(agent),
            "system": names_of(agent)[:40],
            "keeps": keeps,
            "began_at": at,
            "seen_at": at,
        },
    )
    return row


def _sweep(person: Person) -> None:
    """Take out sessions that ran out, and this person's rows without a session."""
    Session.objects.filter(expire_date__lte=timezone.now()).delete()
    keys = Session.objects.values("session_key")
    SignIn.objects.filter(person=person).exclude(session_key__in=keys).delete()


def is_over(request: HttpRequest, *, at: datetime) -> bool:
    """Return whether the sign-in of a request has lasted too long.

    One from before there were limits is over: it is in no list, so nobody could end it.
    """
    session = request.session
    if BEGAN not in session:
        return True
    return limits_of(keeps=bool(session.get(KEEPS))).are_over(
        began=datetime.fromisoformat(session[BEGAN]),
        seen=datetime.fromisoformat(session[SEEN]),
        at=at,
    )


def is_signed_in(request: HttpRequest) -> bool:
    """Return whether the session is somebody's, without asking who they are."""
    return SESSION_KEY in request.session


def see(request: HttpRequest, *, at: datetime) -> None:
    """Write down that a sign-in is in use, unless that was done just now."""
    session = request.session
    if at - datetime.fromisoformat(session[SEEN]) < SEEN_EVERY:
        return
    session[SEEN] = at.isoformat()
    SignIn.objects.filter(session_key=session.session_key).update(seen_at=at)


def prove(request: HttpRequest, *, at: datetime) -> None:
    """Write down that whoever asks just showed a secret of theirs."""
    request.session[PROVED] = at.isoformat()


def has_proved(request: HttpRequest, *, at: datetime) -> bool:
    """Return whether a secret was shown within the last quarter of an hour."""
    proved = request.session.get(PROVED)
    return proved is not None and abs(at - datetime.fromisoformat(proved)) < PROOF_HOLDS


def moved(request: HttpRequest, *, old_key: str | None) -> None:
    """Follow a session that was given another key."""
    SignIn.objects.filter(session_key=old_key).update(
        session_key=request.session.session_key
    )


def open_sign_ins(person: Person) -> list[SignIn]:
    """Return a person's sign-ins whose session still stands, last seen first."""
    standing = Session.objects.filter(expire_date__gt=timezone.now())
    keys = standing.values("session_key")
    return list(SignIn.objects.filter(person=person, session_key__in=keys))


@transaction.atomic
def end(rows: Iterable[SignIn], *, request: HttpRequest | None) -> int:
    """End sign-ins at once: their next request is nobody's; return how many."""
    ended = list(rows)
    keys = [row.session_key for row in ended]
    Session.objects.filter(session_key__in=keys).delete()
    SignIn.objects.filter(session_key__in=keys).delete()
    for row in ended:
        note("session ended", request, person=row.person_id, device=str(row))
    return len(ended)


def end_all(person: Person) -> int:
    """End all sign-ins of a person; return how many."""
    return end(SignIn.objects.filter(person=person), request=None)


def end_others(person: Person, *, request: HttpRequest) -> int:
    """End all sign-ins of a person but the one that asks; return how many."""
    mine = request.session.session_key or ""
    others = SignIn.objects.filter(person=person).exclude(session_key=mine)
    return end(others, request=request)
