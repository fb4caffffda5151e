"""A business set up as its first-run page does it, its people, and their browsers."""

from __future__ import annotations

import re
import uuid
from datetime import UTC, datetime
from typing import Any

from django.test import Client as Browser
from django.urls import reverse
from django.utils import timezone
from moneyed import Money

from materials.core import amounts
from materials.models import Business, Person
from quotes.models import Space, Visit
from quotes.services.business import BusinessEntry, RatesEntry, set_up_business
from quotes.services.visits import SpaceEntry, VisitEntry, make_visit, save_space

SET_UP_AT = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)
PASSWORD = "wet-saw-and-chalk-line"
CURRENCY = {"metric": "GBP", "imperial": "USD"}


def new_key() -> str:
    return str(uuid.uuid4())


def a_person(username: str, role: str) -> Person:
    person, _ = Person.objects.get_or_create(
        username=username, defaults={"role": role, "first_name": username.title()}
    )
    return person


def ada() -> Person:
    return a_person("ada", Person.Role.OWNER)


def ben() -> Person:
    return a_person("ben", Person.Role.SETTER)


def olive() -> Person:
    return a_person("olive", Person.Role.OFFICE)


def signed_in(person: Person) -> Browser:
    browser = Browser()
    browser.force_login(person)
    return browser


def pounds(text: str) -> Money:
    return amounts.unit_price(text, "GBP")


def a_business(system: str = "metric", *, least: str = "") -> Business:
    """Set a business up with its starter price list, once."""
    code = CURRENCY[system]
    found = Business.objects.filter(pk=1).first()
    return found or set_up_business(
        entry=BusinessEntry(
            name="Marl & Daughters",
            country="GB" if system == "metric" else "US",
            currency=code,
            system=system,
            address="3 Ferry Steps\nSkellan",
            sales_tax=amounts.exact(amounts.unit_price("0.2", code)),
        ),
        rates=RatesEntry(
            setter_wage=amounts.unit_price("31.37", code),
            helper_wage=amounts.unit_price("19.43", code),
            overhead_per_hour=amounts.unit_price("8.61", code),
            materials_rate=amounts.exact(amounts.unit_price("0.2", code)),
            minimum_charge=amounts.money(least, code) if least else None,
        ),
        at=SET_UP_AT,
        person=ada(),
        key=new_key(),
    )


def a_visit(**changes: Any) -> Visit:
    a_business()
    entry: dict[str, Any] = {
        "title": "A new shower at Weir Lane",
        "held_on": timezone.localdate(),
        "client_name": "Mrs Okafor",
        "address": "14 Weir Lane, Skellan",
        "system": "metric",
    }
    return make_visit(
        entry=VisitEntry(**{**entry, **changes}), person=ada(), key=new_key()
    )


def a_space(visit: Visit | None = None) -> Space:
    return save_space(
        visit=visit or a_visit(),
        entry=SpaceEntry(name="Shower room"),
        key=new_key(),
        person=ada(),
    )


WALL = {
    "name": "Back wall",
    "role": "wall",
    "shape": "rectangle",
    "measured_to": "framing",
    "exposure": "dry",
    "use": "",
    "times": "1",
    "build_up": "",
    "width": "2400",
    "height": "2100",
}


def send(browser: Browser, page: str, /, *args: object, **data: Any) -> Any:
    """Send a form; `expect` is the status that must come back."""
    expect = data.pop("expect", 302)
    data.setdefault("request_key", new_key())
    response = browser.post(reverse(page, args=args), data)
    assert response.status_code == expect, (page, faults(response))
    return response


def faults(response: Any) -> list[str]:
    """Return the sentences of refusal a page shows."""
    page = response.content.decode()
    found = re.findall(r'class="(?:wrong|warn)"[^>]*>(.*?)</(?:span|small)', page, re.S)
    cautions = re.findall(r'class="caution.*?</', page, re.S)
    return [re.sub(r"<[^>]*>", "", text).strip() for text in (*found, *cautions)]


def text_of(browser: Browser, name: str, *args: object) -> str:
    response = browser.get(reverse(name, args=args))
    assert response.status_code == 200, (name, response.status_code)
    return str(response.content.decode())
