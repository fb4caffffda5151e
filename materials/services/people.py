"""Who may sign in, and as what."""

from __future__ import annotations

from datetime import datetime

from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext as _

from materials.core.errors import Refusal
from materials.models import Person
from materials.services import lockout, notices, sign_ins
from materials.services.keeping import audit, once
from materials.services.security import note


@transaction.atomic
def add_person(
    *,
    username: str,
    name: str,
    role: str,
    password: str,
    by: Person | None,
    key: str,
) -> Person:
    """Add somebody who may sign in.

    Raises: Refusal for a name already taken, an unknown role or a weak password.
    """
    claim = once(
        key=key,
        purpose="add person",
        person=by,
        payload={"username": username, "name": name, "role": role},
    )
    if claim.outcome:
        return Person.objects.get(pk=claim.outcome)
    if Person.objects.filter(username__iexact=username).exists():
        raise Refusal(
            _("“%(name)s” already signs in here; choose another sign-in name.")
            % {"name": username},
            field="username",
        )
    first, _space, last = name.partition(" ")
    person = Person(username=username, first_name=first, last_name=last, role=role)
    person.initials = "".join(part[0] for part in name.split() if part)[:4].upper()
    try:
        validate_password(password, person)
        person.set_password(password)
        person.full_clean()
    except ValidationError as error:
        raise Refusal(" ".join(error.messages), field="password") from error
    person.save()
    subject = f"person {person.pk}"
    audit(action="add person", subject=subject, person=by, facts={"role": role})
    claim.settle(person.pk)
    return person


@transaction.atomic
def change_role(*, person: Person, role: str, by: Person) -> Person:
    """Give a person another role; it holds from their next page on.

    Raises: Refusal if that would leave the business without an owner.
    """
    if role not in Person.Role.values:
        raise Refusal(_("Choose owner, setter or office."), field="role")
    if role != Person.Role.OWNER:
        _keep_an_owner(person)
    before = person.role
    person.role = role
    person.save(update_fields=["role"])
    audit(
        action="change role",
        subject=f"person {person.pk}",
        person=by,
        facts={"before": before, "after": role},
    )
    return person


@transaction.atomic
def end_access(*, person: Person, by: Person) -> Person:
    """Stop a person from signing in, end their sign-ins; what they entered stays."""
    _keep_an_owner(person)
    person.is_active = False
    person.save(update_fields=["is_active"])
    sign_ins.end_all(person)
    audit(action="end access", subject=f"person {person.pk}", person=by)
    return person


@transaction.atomic
def let_in(*, person: Person, by: Person | None) -> None:
    """Let a person try to sign in again, whatever was tried in vain at their name."""
    lockout.forget(person)
    note("let in", None, person=person.pk)
    audit(action="let in", subject=f"person {person.pk}", person=by)


@transaction.atomic
def change_password(*, person: Person, password: str, at: datetime) -> Person:
    """Give a person the password they chose, and tell them by mail.

    Raises: Refusal, with every reason, for one that is easy to guess.
    """
    try:
        validate_password(password, person)
    except ValidationError as error:
        raise Refusal(" ".join(error.messages), field="new") from error
    person.set_password(password)
    person.save(update_fields=["password"])
    audit(action="change password", subject=f"person {person.pk}", person=person)
    notices.tell(person, what=_("The password of your sign-in was changed."), at=at)
    return person


@transaction.atomic
def change_email(*, person: Person, email: str, at: datetime) -> Person:
    """Send a person's notices elsewhere from now on; both addresses are told."""
    if email == person.email:
        return person
    what = _("Notices about your sign-in go to another address from now on.")
    notices.tell(person, what=what, at=at)
    person.email = email
    person.save(update_fields=["email"])
    audit(action="change own e-mail", subject=f"person {person.pk}", person=person)
    notices.tell(person, what=what, at=at)
    return person


def _keep_an_owner(person: Person) -> None:
    others = Person.objects.filter(role=Person.Role.OWNER, is_active=True)
    if not others.exclude(pk=person.pk).exists():
        raise Refusal(
            _("Somebody must own the business; make another person owner first."),
            field="role",
        )
