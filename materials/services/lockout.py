"""Guessing is throttled before a password is hashed; a known device is never shut out.

django-axes asks this handler before any backend sees a password and tells it how the
try ended. Its own handler counts after the hash, so that tries at the same moment all
pass, and knows no devices: hence this one. A try is written down first, in a locked
row for the name and one for the address, and taken back when it was right.

Whoever signed in gets a signed cookie that names the device and the people who signed
in on it. Their tries there are counted apart: strangers who guess at a name elsewhere
use up the name's tries, not the device's.
"""

from __future__ import annotations

import secrets
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from axes.handlers.base import AbstractAxesHandler, AxesBaseHandler
from django.conf import settings
from django.contrib.auth import authenticate
from django.core import signing
from django.db import transaction
from django.db.models import Q
from django.http import HttpRequest, HttpResponseBase
from django.utils import timezone
from django.utils.crypto import salted_hmac
from django.utils.translation import gettext as _

from materials.core.addresses import neighbourhood
from materials.core.errors import Refusal
from materials.core.guessing import (
    IN_ALL,
    MOST,
    MOST_OF_AN_ADDRESS,
    Tries,
    times_from,
)
from materials.models import Guesses, Person, SignIn
from materials.services import sign_ins
from materials.services.security import address_of, note

DEVICE_SALT = "known device"
DEVICE_KEPT = timedelta(days=400)
"""As long as browsers keep a cookie at most."""
PEOPLE_KEPT = 20
FORGOTTEN = timedelta(days=30)


@dataclass(frozen=True, slots=True, kw_only=True)
class Subject:
    """What tries are counted for, and how many it bears."""

    key: str
    most: int = MOST
    in_all: int | None = IN_ALL
    person: int | None = None


def key_of(*parts: str) -> str:
    """Return how a subject is kept: nothing of its parts can be read from it."""
    digest = salted_hmac("guesses", "\0".join(parts), algorithm="sha256")
    return digest.hexdigest()


def _name_subject(username: str) -> Subject:
    return Subject(key=key_of("name", username.casefold()))


def second_step_subject(request: HttpRequest, person: Person) -> Subject:
    """Return what tries of a second factor are counted for: person, or known device.

    A stranger who has the password must not use up the owner's tries either.
    """
    device, people = _device_of(request)
    place = device if person.pk in people else ""
    return Subject(key=key_of("second", str(person.pk), place), person=person.pk)


def subjects_of(request: HttpRequest, username: str) -> list[Subject]:
    """Return what a try at this name counts for: the known device, or name and place.

    The person is looked up for every name, so that an unknown one costs as much.
    """
    person = Person.objects.filter(username=username).only("pk").first()
    device, people = _device_of(request)
    if person is not None and person.pk in people:
        key = key_of("device", username.casefold(), device)
        return [Subject(key=key, person=person.pk)]
    subjects = [_name_subject(username)]
    if place := neighbourhood(address_of(request)):
        subjects.append(
            Subject(key=key_of("place", place), most=MOST_OF_AN_ADDRESS, in_all=None)
        )
    return subjects


@transaction.atomic
def take_a_try(subjects: Iterable[Subject], *, at: datetime) -> bool:
    """Write a try down for all subjects, or for none and return False.

    Takes a lock on the rows, in one order, until they are written.
    """
    wanted = sorted(subjects, key=lambda one: one.key)
    made = [
        Guesses.objects.get_or_create(
            subject=one.key, defaults={"last_at": at, "person_id": one.person}
        )[1]
        for one in wanted
    ]
    if any(made):
        Guesses.objects.filter(last_at__lt=at - FORGOTTEN).delete()
    rows = _locked(wanted)
    for one in wanted:
        tries = _tries_of(rows[one.key])
        if not tries.may_try(at, most=one.most, in_all=one.in_all):
            return False
    for one in wanted:
        _keep(rows[one.key], _tries_of(rows[one.key]).with_one(at), at=at)
    return True


def may_try(subject: Subject, *, at: datetime) -> bool:
    """Return whether a subject bears one more try, without writing one down."""
    row = Guesses.objects.filter(subject=subject.key).first()
    return row is None or _tries_of(row).may_try(
        at, most=subject.most, in_all=subject.in_all
    )


@transaction.atomic
def take_back(subjects: Iterable[Subject], *, at: datetime) -> None:
    """Take the latest try back: it was right, and what is counted in a row ends.

    An address keeps its other tries, or whoever knows one password could guess on.
    """
    wanted = list(subjects)
    rows = _locked(wanted)
    for one in wanted:
        if row := rows.get(one.key):
            tries = _tries_of(row)
            right = tries.without_one if one.in_all is None else tries.after_success
            _keep(row, right(at), at=at)


def forget(person: Person) -> None:
    """Forget what was tried in vain at a person's name, devices and second factor."""
    name = _name_subject(person.username).key
    Guesses.objects.filter(Q(subject=name) | Q(person=person)).delete()


def _locked(subjects: Iterable[Subject]) -> dict[str, Guesses]:
    keys = [one.key for one in subjects]
    rows = Guesses.objects.select_for_update().filter(subject__in=keys)
    return {row.subject: row for row in rows.order_by("subject")}


def _tries_of(row: Guesses) -> Tries:
    return Tries(recent=times_from(row.recent), in_all=row.in_all)


def _keep(row: Guesses, tries: Tries, *, at: datetime) -> None:
    row.recent = [one.isoformat() for one in tries.recent]
    row.in_all = tries.in_all
    row.last_at = at
    row.save()


def device_cookie() -> str:
    """Return the cookie's name; over TLS browsers hold it to this host alone."""
    return "__Host-known-device" if settings.HTTPS else "known-device"


def _device_of(request: HttpRequest) -> tuple[str, list[int]]:
    """Return the device's name and the people known on it; none if not signed by us."""
    try:
        said = signing.loads(
            request.COOKIES.get(device_cookie(), ""),
            salt=DEVICE_SALT,
            max_age=DEVICE_KEPT,
        )
    except signing.BadSignature:
        return "", []
    return str(said["device"]), list(said["people"])


def know_device(
    request: HttpRequest, response: HttpResponseBase, person: Person
) -> None:
    """Let the device be known from now on as one on which this person signed in."""
    device, people = _device_of(request)
    known = [person.pk, *(one for one in people if one != person.pk)][:PEOPLE_KEPT]
    response.set_cookie(
        device_cookie(),
        signing.dumps(
            {"device": device or secrets.token_urlsafe(16), "people": known},
            salt=DEVICE_SALT,
        ),
        max_age=DEVICE_KEPT,
        secure=settings.HTTPS,
        httponly=True,
        samesite="Lax",
    )


class Lockout(AbstractAxesHandler, AxesBaseHandler):  # type: ignore[misc]
    """What django-axes calls around every try to sign in."""

    def is_allowed(
        self, request: HttpRequest, credentials: dict[str, Any] | None = None
    ) -> bool:
        """Write the try down and let it through, or refuse it unseen."""
        username = str((credentials or {}).get("username") or "")
        return take_a_try(subjects_of(request, username), at=timezone.now())

    def user_login_failed(
        self,
        sender: object,
        credentials: dict[str, Any],
        request: HttpRequest | None = None,
        **_given: Any,
    ) -> None:
        """Tell the log; the try was written down before."""
        username = str(credentials.get("username") or "")
        person = Person.objects.filter(username=username).only("pk").first()
        locked = getattr(request, "axes_locked_out", False)
        note(
            "sign-in locked" if locked else "sign-in failed",
            request,
            person=person.pk if person else "unknown",
        )

    def user_logged_in(
        self, sender: object, request: HttpRequest, user: Person, **_given: Any
    ) -> None:
        """Take the try back that was right, and begin a sign-in with its limits."""
        now = timezone.now()
        take_back(subjects_of(request, user.username), at=now)
        sign_ins.begin(request, user, at=now)
        note("signed in", request, person=user.pk)

    def user_logged_out(
        self, sender: object, request: HttpRequest, user: Person | None, **_given: Any
    ) -> None:
        """End the sign-in, and tell the log."""
        SignIn.objects.filter(session_key=request.session.session_key or "").delete()
        if user is not None:
            note("signed out", request, person=user.pk)

    def get_failures(
        self, request: HttpRequest, credentials: dict[str, Any] | None = None
    ) -> int:
        """Return how many tries at this name, or on its device, were in vain lately."""
        username = str((credentials or {}).get("username") or "")
        first = subjects_of(request, username)[0]
        row = Guesses.objects.filter(subject=first.key).first()
        return len(_tries_of(row).lately(timezone.now())) if row else 0


def is_right(request: HttpRequest, person: Person, password: str) -> bool:
    """Return whether this is the person's password; a wrong one counts as a guess.

    Raises: Refusal when too many were wrong.
    """
    if authenticate(request, username=person.username, password=password) == person:
        take_back(subjects_of(request, person.username), at=timezone.now())
        return True
    if getattr(request, "axes_locked_out", False):
        raise Refusal(_("There were too many wrong tries; wait a quarter of an hour."))
    return False


def same_answer(
    request: HttpRequest,
    response: HttpResponseBase,
    credentials: dict[str, Any] | None = None,
) -> HttpResponseBase:
    """Keep the page that says so in our words, in place of axes' own."""
    return response
