"""The way through: seven stages from the tape to the invoice."""

from __future__ import annotations

from typing import Any

from django.urls import reverse
from django.utils.translation import gettext as _

from materials.models import Person
from quotes.models import Quote, Revision, Visit

ORDER = ("measure", "buy", "price", "offer", "work", "cost", "invoice")


def stages(visit: Visit, person: Person, now: str) -> list[dict[str, Any]]:
    """Return the seven stages of a visit's work, with addresses where there are any.

    Stages a role may not see have no address.
    """
    quote = Quote.objects.filter(visit=visit).order_by("-pk").first()
    places: dict[str, str] = {
        "measure": reverse("visit", args=[visit.uid]),
        "buy": reverse("buy", args=[visit.uid]),
    }
    if person.sees_margins:
        places["price"] = reverse("price", args=[visit.uid])
    if quote is not None and person.sees_prices:
        places["offer"] = reverse("quote", args=[quote.number])
    if quote is not None:
        places |= _job_places(quote, person)
    words = {
        "measure": _("Measure"),
        "buy": _("Buy"),
        "price": _("Price"),
        "offer": _("Offer"),
        "work": _("Work"),
        "cost": _("Cost"),
        "invoice": _("Invoice"),
    }
    return [
        {"word": words[name], "url": places.get(name, ""), "now": name == now}
        for name in ORDER
    ]


def _job_places(quote: Quote, person: Person) -> dict[str, str]:
    """Return the addresses of the door to the quote's job.

    The jobs app is above this one, so only the address of that door is known here.
    """
    accepted = quote.revisions.filter(state=Revision.State.ACCEPTED).exists()
    if not accepted:
        return {}
    door = reverse("job-of-quote", args=[quote.number])
    places = {"work": door}
    if person.sees_prices:
        places |= {"cost": f"{door}?to=cost", "invoice": f"{door}?to=invoice"}
    return places
