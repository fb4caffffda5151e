"""The second factor: an app with codes, passkeys, and recovery codes for a lost phone.

Keeping and checking them is allauth's (`allauth.mfa`); sign-in, pages, throttle and
letters are ours. A code counts once: its step is kept in the row, under a lock, since
allauth notes it in a cache that two processes do not share. Secrets are kept encrypted
with the signing key, so that no copy of the database signs anybody in.
"""

from __future__ import annotations

import base64
import json
import secrets
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from allauth.mfa.adapter import DefaultMFAAdapter
from allauth.mfa.models import Authenticator
from allauth.mfa.recovery_codes.internal.auth import RecoveryCodes
from allauth.mfa.totp.internal import auth as totp
from allauth.mfa.utils import decrypt, encrypt
from allauth.mfa.webauthn.internal import auth as webauthn
from cryptography.fernet import Fernet, InvalidToken
from django.conf import settings
from django.core.exceptions import ValidationError
from django.db import transaction
from django.http import HttpRequest
from django.utils import timezone
from django.utils.crypto import salted_hmac
from django.utils.translation import gettext as _

from materials import queries
from materials.core.errors import Refusal
from materials.models import Person
from materials.services import lockout, notices
from materials.services.keeping import audit
from materials.services.security import note

APP, CODES, PASSKEY = (
    Authenticator.Type.TOTP,
    Authenticator.Type.RECOVERY_CODES,
    Authenticator.Type.WEBAUTHN,
)
PASSED = "second"
"""In a session: its person showed a second factor, or set one up."""
MOST_PASSKEYS = 20


class Adapter(DefaultMFAAdapter):  # type: ignore[misc]
    """What allauth asks us: names to show, and how secrets are kept."""

    def get_totp_issuer(self) -> str:
        """Return what the app writes above its code."""
        return _house()

    def get_public_key_credential_rp_entity(self) -> dict[str, str]:
        """Return whom a passkey is for."""
        entity = super().get_public_key_credential_rp_entity()
        return {"id": entity["id"], "name": _house()}

    def encrypt(self, text: str) -> str:
        """Return a secret as it is kept."""
        return _fernet().encrypt(text.encode("ascii")).decode("ascii")

    def decrypt(self, encrypted_text: str) -> str:
        """Return a kept secret; under another signing key one that nothing fits."""
        try:
            return _fernet().decrypt(encrypted_text).decode("ascii")
        except InvalidToken:
            return base64.b32encode(secrets.token_bytes(20)).decode("ascii")


def _house() -> str:
    business = queries.business()
    return business.name if business else "Gaugerod"


def _fernet() -> Fernet:
    digest = salted_hmac("second factor", "key", algorithm="sha256").digest()
    return Fernet(base64.urlsafe_b64encode(digest))


@dataclass(frozen=True, slots=True, kw_only=True)
class Factor:
    """One way to pass the second step, as its person reads it."""

    pk: int
    kind: str
    name: str
    added: datetime
    used: datetime | None


def is_on() -> bool:
    """Return whether second factors are offered here at all."""
    return settings.SECOND_FACTOR != "off"


def _of(person: Person) -> Any:
    return Authenticator.objects.filter(user=person)


def factors_of(person: Person) -> list[Factor]:
    """Return a person's app and passkeys, oldest first, without recovery codes."""
    return [
        Factor(
            pk=row.pk,
            kind=row.type,
            name=row.data.get("name", ""),
            added=row.created_at,
            used=row.last_used_at,
        )
        for row in _of(person).exclude(type=CODES).order_by("pk")
    ]


def is_asked(person: Person) -> bool:
    """Return whether this person has a second step at sign-in."""
    return is_on() and _of(person).exclude(type=CODES).exists()


def codes_left(person: Person) -> int:
    """Return how many recovery codes are unused."""
    row = _of(person).filter(type=CODES).first()
    return len(row.wrap().get_unused_codes()) if row else 0


def is_right_code(request: HttpRequest, person: Person, code: str) -> bool:
    """Return whether a code of the app, or a recovery code, is right; once each.

    Raises: Refusal when too many were wrong.
    """
    subject = lockout.second_step_subject(request, person)
    if not lockout.take_a_try([subject], at=timezone.now()):
        raise Refusal(_("There were too many wrong tries; wait a quarter of an hour."))
    if not _fits_app(person, code):
        if not _fits_recovery(person, code):
            note("second step failed", request, person=person.pk)
            return False
        _tell_of_recovery(request, person)
    lockout.take_back([subject], at=timezone.now())
    return True


def _fitting_step(secret: str, code: str, *, after: int) -> int | None:
    """Return the half-minute whose code this is, if none so late was used before."""
    for step in totp.yield_hotp_counters_from_time():
        wanted = totp.format_hotp_value(totp.hotp_value(secret, step))
        if step > after and totp.compare_user_code(actual=code, expected=wanted):
            return int(step)
    return None


@transaction.atomic
def _fits_app(person: Person, code: str) -> bool:
    row = _of(person).select_for_update().filter(type=APP).first()
    if row is None:
        return False
    after = int(row.data.get("used_step", -1))
    step = _fitting_step(decrypt(row.data["secret"]), code, after=after)
    if step is None:
        return False
    row.data["used_step"], row.last_used_at = step, timezone.now()
    row.save(update_fields=["data", "last_used_at"])
    return True


def _fits_recovery(person: Person, code: str) -> bool:
    row = _of(person).filter(type=CODES).first()
    return row is not None and bool(row.wrap().validate_code(code))


@transaction.atomic
def _tell_of_recovery(request: HttpRequest, person: Person) -> None:
    note("recovery code used", request, person=person.pk)
    notices.tell(
        person,
        what=_("A recovery code of your sign-in was used; it is void now."),
        at=timezone.now(),
    )


def passkey_question(person: Person) -> str:
    """Return, as JSON, what the browser asks a passkey of this person, or "".

    The challenge is kept in the session and answered once.
    """
    if not _of(person).filter(type=PASSKEY).exists():
        return ""
    return json.dumps(webauthn.begin_authentication(person), default=dict)


def is_right_passkey(request: HttpRequest, person: Person, answer: str) -> bool:
    """Return whether a passkey of this person answered the question asked last."""
    try:
        said = json.loads(answer)
        webauthn.parse_authentication_response(said)
        row = webauthn.complete_authentication(person, said)
    except (ValidationError, ValueError, TypeError, KeyError, AttributeError):
        webauthn.clear_state()
        note("second step failed", request, person=person.pk)
        return False
    row.record_usage()
    return True


def passkey_offer(person: Person) -> str:
    """Return, as JSON, what the browser needs to make a passkey for this person."""
    return json.dumps(webauthn.begin_registration(person, False), default=dict)


@transaction.atomic
def add_passkey(
    *, request: HttpRequest, person: Person, name: str, answer: str
) -> list[str]:
    """Take a passkey the browser made; return recovery codes if these are the first.

    Raises: Refusal when it does not answer the offer, or there are too many.
    """
    Person.objects.select_for_update().get(pk=person.pk)
    if _of(person).filter(type=PASSKEY).count() >= MOST_PASSKEYS:
        raise Refusal(_("There are twenty passkeys already; remove one first."))
    try:
        said = json.loads(answer)
        webauthn.parse_registration_response(said)
        webauthn.complete_registration(said)
    except (ValidationError, ValueError, TypeError, KeyError, AttributeError):
        webauthn.clear_state()
        raise Refusal(
            _("The device did not make a passkey; try again, or use another way.")
        ) from None
    webauthn.WebAuthn.add(person, name, said)
    return _added(request, person, _("A passkey was added to your sign-in."))


def app_secret(*, fresh: bool) -> str:
    """Return the secret an app is to take over: a fresh one, or the one shown last."""
    return str(totp.get_totp_secret(regenerate=fresh))


def app_address(person: Person, secret: str) -> str:
    """Return the address an app reads from the drawn code."""
    return str(Adapter().build_totp_url(person, secret))


@transaction.atomic
def add_app(*, request: HttpRequest, person: Person, code: str) -> list[str]:
    """Take the app over that shows this code, in place of one there was.

    Returns recovery codes if these are the first.

    Raises: Refusal for a wrong code.
    """
    Person.objects.select_for_update().get(pk=person.pk)
    secret = app_secret(fresh=False)
    step = _fitting_step(secret, code, after=-1)
    if step is None:
        raise Refusal(
            _("This is not the code the app shows now; it changes twice a minute."),
            field="code",
        )
    _of(person).filter(type=APP).delete()
    Authenticator.objects.create(
        user=person, type=APP, data={"secret": encrypt(secret), "used_step": step}
    )
    totp.clear_totp_secret(request)
    return _added(request, person, _("An app with codes was added to your sign-in."))


def _added(request: HttpRequest, person: Person, what: str) -> list[str]:
    """Tell everybody concerned, and make recovery codes where there are none."""
    request.session[PASSED] = True
    note("second factor added", request, person=person.pk)
    audit(action="add second factor", subject=f"person {person.pk}", person=person)
    notices.tell(person, what=what, at=timezone.now())
    if _of(person).filter(type=CODES).exists():
        return []
    return list(RecoveryCodes.activate(person).get_unused_codes())


@transaction.atomic
def new_codes(*, request: HttpRequest, person: Person) -> list[str]:
    """Make recovery codes in place of those there were.

    Raises: Refusal where there is no second factor to recover from.
    """
    Person.objects.select_for_update().get(pk=person.pk)
    if not _of(person).exclude(type=CODES).exists():
        raise Refusal(_("Recovery codes go with an app or a passkey; add one first."))
    _of(person).filter(type=CODES).delete()
    note("recovery codes made", request, person=person.pk)
    what = _("New recovery codes were made for your sign-in; the old ones are void.")
    notices.tell(person, what=what, at=timezone.now())
    return list(RecoveryCodes.activate(person).get_unused_codes())


@transaction.atomic
def remove_factor(*, request: HttpRequest, person: Person, pk: int) -> None:
    """Take an app or a passkey away; with the last one the recovery codes go.

    Raises: Refusal if none would be left where one is required.
    """
    Person.objects.select_for_update().get(pk=person.pk)
    others = _of(person).exclude(type=CODES).exclude(pk=pk)
    if settings.SECOND_FACTOR == "required" and not others.exists():
        raise Refusal(_("Here everybody has a second factor; add another one first."))
    if not _of(person).exclude(type=CODES).filter(pk=pk).delete()[0]:
        return
    if not others.exists():
        _of(person).delete()
    note("second factor removed", request, person=person.pk)
    audit(action="remove second factor", subject=f"person {person.pk}", person=person)
    what = _("An app or a passkey was removed from your sign-in.")
    notices.tell(person, what=what, at=timezone.now())


@transaction.atomic
def remove_all(*, person: Person) -> None:
    """Let a person sign in without a second step who lost every way to pass it."""
    _of(person).delete()
    note("second factor removed", None, person=person.pk)
    audit(action="remove second factor", subject=f"person {person.pk}", person=None)
    what = _("All second factors were removed from your sign-in, from the server.")
    notices.tell(person, what=what, at=timezone.now())
