"""Mail about a quote: promised with the private link that it brings."""

from __future__ import annotations

from datetime import datetime

from django.db import transaction
from django.utils.translation import gettext as _

from materials.core.errors import Refusal
from materials.models import Outgoing, Person
from materials.services import Letter, digest_of, once, owe_mail
from quotes.models import Client, Revision
from quotes.services.offers import make_link


@transaction.atomic
def mail_quote(
    *, revision: Revision, letter: Letter, person: Person, at: datetime, key: str
) -> Outgoing:
    """Owe the client a letter about a quote; a letter with a seed brings a new link.

    Raises: Refusal for more or less than one address, or when the quote is neither
    offered nor accepted.
    """
    claim = once(
        key=key,
        purpose="mail quote",
        person=person,
        payload={
            "revision": revision.pk,
            "to": letter.recipient,
            "title": letter.title,
            "body": letter.body,
        },
    )
    if claim.outcome:
        return Outgoing.objects.get(pk=claim.outcome)
    owed = owe_mail(letter=letter, person=person, at=at, name=key)
    if letter.seed:
        make_link(
            revision=revision,
            at=at,
            person=person,
            key=digest_of({"link of": key})[:48],
            sent_to=owed.recipient,
            seed=letter.seed,
        )
    elif not Revision.objects.filter(pk=revision.pk, state="accepted").exists():
        raise Refusal(_("This quote is not accepted; there is nothing to confirm."))
    keep_address(revision.quote.visit.site.client, owed.recipient)
    claim.settle(owed.pk)
    return owed


def keep_address(client: Client, address: str) -> None:
    """Note the address for a client who had none."""
    Client.objects.filter(pk=client.pk, email="").update(email=address)
