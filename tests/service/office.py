"""A business set up as its first-run page does it, its people, and their browsers."""

from __future__ import annotations

import re
import uuid
from datetime import UTC, date, datetime
from fractions import Fraction
from typing import Any

from django.test import Client as Browser
from django.urls import reverse
from django.utils import timezone
from moneyed import Money

from jobs.models import Job
from materials.core import amounts
from materials.models import Business, Material, Pack, Person, Supplier
from materials.services.pricelist import (
    PackEntry,
    PriceEntry,
    add_material,
    add_pack,
)
from quotes.models import HandLine, Rates, Revision, Space, Visit
from quotes.services import HandLineEntry, add_hand_line, make_quote, offer_revision
from quotes.services.business import BusinessEntry, RatesEntry, set_up_business
from quotes.services.visits import SpaceEntry, VisitEntry, make_visit, save_space
from tests.service.remembered import remembered

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


def a_business(*, least: str = "") -> Business:
    """Store a business with its rates and an empty price list, once."""
    business, _ = Business.objects.get_or_create(
        pk=1,
        defaults={
            "name": "Fennick and Osei",
            "address": "7 Ropewalk Yard\nOrrin Quay",
            "country": "GB",
            "currency": "GBP",
            "system": "metric",
            "sales_tax": Fraction(1, 5),
        },
    )
    Rates.objects.get_or_create(
        pk=1,
        defaults={
            "setter_wage": pounds("31.37"),
            "helper_wage": pounds("19.43"),
            "overhead_per_hour": pounds("8.61"),
            "materials_rate": Fraction(1, 5),
            "minimum_charge": amounts.money(least, "GBP") if least else None,
        },
    )
    return business


def a_stocked_business(system: str = "metric") -> Business:
    """Set a business up through its service, with the starter list of its system."""
    remembered(f"stocked, {system}", lambda: _stocked_business(system))
    return Business.objects.get()


def _stocked_business(system: str) -> None:
    code = CURRENCY[system]
    set_up_business(
        entry=BusinessEntry(
            name="Fennick and Osei",
            country="GB" if system == "metric" else "US",
            currency=code,
            system=system,
            sales_tax=Fraction(1, 5),
        ),
        rates=RatesEntry(
            setter_wage=amounts.unit_price("31.37", code),
            helper_wage=amounts.unit_price("19.43", code),
            overhead_per_hour=amounts.unit_price("8.61", code),
            materials_rate=Fraction(1, 5),
            labour_rate=Fraction(37, 100),
        ),
        at=SET_UP_AT,
        person=ada(),
        key=new_key(),
    )


def a_supplier() -> Supplier:
    supplier, _ = Supplier.objects.get_or_create(name="Northquay Merchants")
    return supplier


def a_material(code: str = "GR-7", name: str = "Grout, lead grey") -> Material:
    """Add a grout, with no pack yet."""
    a_business()
    return add_material(
        code=code,
        name=name,
        kind="grout",
        facts={"density": "1.6"},
        person=ada(),
        key=new_key(),
    )


def a_pack(material: Material | None = None, price: str = "12.40") -> Pack:
    return add_pack(
        material=material or a_material(),
        entry=PackEntry(supplier=a_supplier(), label="bag 5 kg", content=Fraction(5)),
        price=PriceEntry(valid_from=date(2026, 1, 5), amount=pounds(price)),
        person=ada(),
        key=new_key(),
    )


def a_hand_line(visit: Visit, price: str = "640.00") -> HandLine:
    return add_hand_line(
        visit=visit,
        entry=HandLineEntry(
            text="Take the old floor up", quantity=Fraction(1), unit_price=pounds(price)
        ),
        person=ada(),
        key=new_key(),
    )


def a_draft(visit: Visit | None = None) -> Revision:
    """Make a draft of a visit; without one, of a visit with one hand-typed line."""
    if visit is None:
        visit = a_visit()
        a_hand_line(visit)
    quote = make_quote(
        visit=visit, on=timezone.localdate(), person=ada(), key=new_key()
    )
    return quote.revisions.get()


def an_offer(visit: Visit | None = None) -> Revision:
    draft = a_draft(visit)
    return offer_revision(revision=draft, on=timezone.localdate(), person=ada())


def accepted(offer: Revision) -> Job:
    """Accept an offer on site, as the owner's page does it; return its job."""
    send(
        signed_in(ada()),
        "accept-here",
        offer.quote.number,
        typed_name="Mrs Okafor",
        digest=offer.digest,
    )
    return Job.objects.get(revision=offer)


def a_visit(**changes: Any) -> Visit:
    a_business()
    entry: dict[str, Any] = {
        "title": "A new shower at Weir Lane",
        "held_on": timezone.localdate(),
        "client_name": "Mrs Okafor",
        "address": "14 Weir Lane, Orrin Quay",
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
    cautions = re.findall(r'class="caution".*?<p>(.*?)</p>', page, re.S)
    return [re.sub(r"<[^>]*>", "", text).strip() for text in (*found, *cautions)]


def text_of(browser: Browser, name: str, *args: object) -> str:
    response = browser.get(reverse(name, args=args))
    assert response.status_code == 200, (name, response.status_code)
    return str(response.content.decode())


INLINE = re.compile(r"""\sstyle\s*=|<style\b|\son[a-z]+\s*=\s*["']|javascript:""")
SCRIPT = re.compile(r"<script\b([^>]*)>(.*?)</script>", re.S)


def inline_in(page: str) -> list[str]:
    """Return the style and script a page holds itself, which its policy forbids."""
    found = INLINE.findall(page)
    for attributes, body in SCRIPT.findall(page):
        if body.strip() or not ("src=" in attributes or "nonce=" in attributes):
            found.append(attributes)
    return found
