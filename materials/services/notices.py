"""What a person is told by mail about their own sign-in, so that a thief is noticed."""

from __future__ import annotations

import uuid
from datetime import datetime

from django.urls import reverse
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from materials.models import Person
from materials.services.outbox import Letter, owe_mail


def tell(person: Person, *, what: str, at: datetime) -> None:
    """Owe a person a letter about what just changed; without an address, nothing.

    It belongs inside the transaction of the change. The letter holds no link: people
    must not learn to follow links in letters about their sign-in.
    """
    if not person.email:
        return
    when = date_format(timezone.localtime(at), "j F Y, H:i")
    body = _(
        "%(what)s\n\n"
        "This was done on %(when)s, signed in as %(name)s. If it was you, there is "
        "nothing to do. If not, tell the owner of the business at once: your sign-in "
        "is in other hands."
    ) % {"what": what, "when": when, "name": person.username}
    owe_mail(
        letter=Letter(
            recipient=person.email,
            subject=_("About your sign-in"),
            body=body,
            paper="",
            about=person.username,
            title=_("Notice about a sign-in"),
            page=reverse("people"),
        ),
        person=person,
        at=at,
        name=f"notice:{uuid.uuid4()}",
    )
