"""Letters about a quote, as the client will read them: the offer, and its receipt."""

from __future__ import annotations

from collections.abc import Mapping

from django.template.loader import render_to_string
from django.urls import reverse
from django.utils.translation import gettext as _

from materials.models import Business
from materials.services import Letter, new_seed
from quotes.models import Acceptance, Revision
from quotes.presenters.offers import shown_to_client
from quotes.services.offers import OFFER_PAPER


def offer_letter(
    revision: Revision, business: Business, *, typed: Mapping[str, str], address: str
) -> Letter:
    """Return the letter that brings an offer with its private address.

    `typed` holds `to` and `words`, as on the form.
    """
    gross = shown_to_client(revision).options[0].gross
    subject, body = _words(
        "offer", revision, business, {**typed, "gross": gross, "address": address}
    )
    return Letter(
        recipient=typed["to"],
        subject=subject,
        body=body,
        title=_("Quote by mail"),
        seed=new_seed(),
        **_about(revision),
    )


def receipt_letter(
    acceptance: Acceptance, business: Business, *, typed: Mapping[str, str]
) -> Letter:
    """Return the letter that confirms what was accepted."""
    revision = acceptance.revision
    subject, body = _words(
        "receipt", revision, business, {**typed, "acceptance": acceptance}
    )
    return Letter(
        recipient=typed["to"],
        subject=subject,
        body=body,
        title=_("Receipt of the acceptance"),
        **_about(revision),
    )


def _about(revision: Revision) -> dict[str, str]:
    number = revision.quote.number
    return {
        "paper": f"{OFFER_PAPER}:{revision.pk}",
        "about": f"{number} {revision.letter}",
        "page": reverse("quote", args=[number]),
    }


def _words(
    name: str, revision: Revision, business: Business, said: Mapping[str, object]
) -> tuple[str, str]:
    context = {
        "revision": revision,
        "client": revision.quote.visit.site.client,
        "shown": shown_to_client(revision),
        "business": business,
        **said,
    }
    subject = render_to_string(f"email/{name}-subject.txt", context)
    return subject.strip(), render_to_string(f"email/{name}-body.txt", context)
