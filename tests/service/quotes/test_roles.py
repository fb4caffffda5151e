"""Who may open what, address by address, and what no page may hold."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client as Browser
from django.urls import reverse
from django.utils import timezone

from materials.models import Outgoing, StoredFile
from materials.urls import urlpatterns as materials_urls
from quotes.models import Surface
from quotes.services import make_link
from quotes.urls import urlpatterns as quotes_urls
from tests.service.office import (
    WALL,
    a_hand_line,
    a_pack,
    a_space,
    a_stocked_business,
    ada,
    ben,
    new_key,
    olive,
    send,
    signed_in,
    text_of,
)

pytestmark = pytest.mark.django_db

AWAY = 302
"""Nobody signed in: sent to sign in."""
POST_ONLY = 405

# Address: owner, setter, office, nobody; asked with GET.
TABLE = {
    "sign-in": (AWAY, AWAY, AWAY, 200),
    "sign-out": (POST_ONLY, POST_ONLY, POST_ONLY, AWAY),
    "people": (200, 403, 403, AWAY),
    "change-person": (POST_ONLY, 403, 403, AWAY),
    "price-list": (200, 403, 200, AWAY),
    "add-product": (200, 403, 200, AWAY),
    "product": (200, 403, 200, AWAY),
    "add-pack": (200, 403, 200, AWAY),
    "change-price": (200, 403, 200, AWAY),
    "rack": (200, 200, 200, AWAY),
    "add-piece": (200, 200, 200, AWAY),
    "count-rack": (POST_ONLY, POST_ONLY, POST_ONLY, AWAY),
    "rack-rules": (POST_ONLY, 403, 403, AWAY),
    "write-off-stale": (POST_ONLY, 403, 403, AWAY),
    "write-off": (POST_ONLY, 403, 403, AWAY),
    "suppliers": (200, 403, 200, AWAY),
    "kept-file": (200, 200, 200, AWAY),
    "outbox": (200, 403, 200, AWAY),
    "decide-outgoing": (POST_ONLY, 403, POST_ONLY, AWAY),
    "business": (200, 403, 403, AWAY),
    "clients": (200, 403, 200, AWAY),
    "visits": (200, 200, 200, AWAY),
    "add-visit": (200, 200, 200, AWAY),
    "first-guess": (200, 200, 200, AWAY),
    "stairs": (200, 200, 200, AWAY),
    "visit": (200, 200, 200, AWAY),
    "change-visit": (200, 200, 200, AWAY),
    "copy-visit": (200, 403, 403, AWAY),
    "visit-changes": (200, 403, 403, AWAY),
    "visit-file": (200, 403, 403, AWAY),
    "add-space": (POST_ONLY, POST_ONLY, POST_ONLY, AWAY),
    "add-photo": (POST_ONLY, POST_ONLY, POST_ONLY, AWAY),
    "build-ups": (200, 200, 200, AWAY),
    "build-up": (200, 200, 200, AWAY),
    "buy": (200, 200, 200, AWAY),
    "cut-list": (200, 200, 200, AWAY),
    "cut-list-paper": (200, 200, 200, AWAY),
    "price": (200, 403, 403, AWAY),
    "choice": (200, 403, 403, AWAY),
    "remove-choice": (POST_ONLY, 403, 403, AWAY),
    "make-quote": (POST_ONLY, 403, 403, AWAY),
    "space": (200, 200, 200, AWAY),
    "add-surface": (200, 200, 200, AWAY),
    "draw-surface": (POST_ONLY, POST_ONLY, POST_ONLY, AWAY),
    "surface": (200, 200, 200, AWAY),
    "set-outs": (200, 200, 200, AWAY),
    "quotes": (200, 403, 200, AWAY),
    "quote": (200, 403, 200, AWAY),
    "mail-quote": (200, 403, 200, AWAY),
    "quote-paper": (200, 403, 200, AWAY),
    "act-on-quote": (POST_ONLY, 403, 403, AWAY),
    "revoke-link": (POST_ONLY, 403, 403, AWAY),
    "offer": (200, 200, 200, 200),
    "offer-paper": (200, 200, 200, 200),
    "decline-offer": (POST_ONLY, POST_ONLY, POST_ONLY, POST_ONLY),
}
PRICE_OF_LINE = "641.37"
COST_OF_LINE = "411.17"


@dataclass(frozen=True, slots=True)
class Office:
    """One of each row, and the arguments of every address."""

    places: dict[str, list[Any]]


@pytest.fixture
def office(settings: Any, tmp_path: Any) -> Office:
    """Stand up one of everything that an address can name."""
    settings.MEDIA_ROOT = tmp_path
    a_stocked_business()
    pack, space, owner = a_pack(), a_space(), signed_in(ada())
    visit = space.visit
    send(owner, "build-ups", visit.uid, template="kitchen-wall")
    send(owner, "add-surface", space.uid, **{**WALL, "build_up": "kitchen-wall"})
    line = a_hand_line(visit, PRICE_OF_LINE)
    send(owner, "make-quote", visit.uid)
    quote = visit.quotes.get()
    send(owner, "act-on-quote", quote.number, "offer")
    link, token = make_link(
        revision=quote.revisions.get(),
        at=timezone.now(),
        person=ada(),
        key=new_key(),
    )
    surface = Surface.objects.get()
    of_visit = (
        "visit", "change-visit", "copy-visit", "visit-changes", "visit-file",
        "add-space", "add-photo", "build-ups", "buy", "price", "make-quote",
        "cut-list", "cut-list-paper",
    )  # fmt: skip
    return Office(
        {
            **{name: [visit.uid] for name in of_visit},
            **{name: [token] for name in ("offer", "offer-paper", "decline-offer")},
            **{name: [space.uid] for name in ("space", "add-surface", "draw-surface")},
            "write-off": [uuid4()],
            "change-person": [ben().pk],
            "add-product": ["tile"],
            "product": [pack.material_id],
            "add-pack": [pack.material_id],
            "change-price": [pack.pk],
            "kept-file": [StoredFile.objects.get().digest],
            "build-up": [visit.uid, "kitchen-wall"],
            "choice": [visit.uid, "hand-line"],
            "remove-choice": [visit.uid, "hand-line", line.pk],
            "surface": [surface.uid],
            "set-outs": [surface.uid],
            "quote": [quote.number],
            "mail-quote": [quote.number],
            "decide-outgoing": [Outgoing.objects.get().uid, "give-up"],
            "quote-paper": [quote.number, "A"],
            "act-on-quote": [quote.number, "revise"],
            "revoke-link": [link.pk],
        }
    )


def test_the_table_knows_every_address() -> None:
    assert {one.name for one in (*materials_urls, *quotes_urls)} == set(TABLE)


def test_every_address_opens_to_its_roles_only(office: Office) -> None:
    browsers = (signed_in(ada()), signed_in(ben()), signed_in(olive()), Browser())
    found = {}
    for name in TABLE:
        address = reverse(name, args=office.places.get(name, []))
        found[name] = tuple(one.get(address).status_code for one in browsers)

    wrong = {name: found[name] for name in TABLE if found[name] != TABLE[name]}
    assert wrong == {}


def test_nobody_unknown_is_sent_anywhere_but_to_sign_in(office: Office) -> None:
    for name, statuses in TABLE.items():
        if statuses[3] != AWAY:
            continue
        address = reverse(name, args=office.places.get(name, []))
        for ask in (Browser().get, Browser().post):
            assert reverse("sign-in") in ask(address).headers["Location"], name


def test_what_a_role_may_not_open_it_may_not_send_to(office: Office) -> None:
    for place, person in ((1, ben()), (2, olive())):
        browser = signed_in(person)
        for name, statuses in TABLE.items():
            if statuses[place] == 403:
                address = reverse(name, args=office.places.get(name, []))
                assert browser.post(address).status_code == 403, (name, person)


def test_a_setter_reads_no_price_of_sale_and_no_margin(office: Office) -> None:
    send(signed_in(ada()), "choice", *office.places["choice"], text="Haul away",
         quantity="1", unit_cost=COST_OF_LINE, unit_price="777.31",
         cost_class="disposal")  # fmt: skip
    owner = text_of(signed_in(ada()), "price", *office.places["price"])
    assert PRICE_OF_LINE in owner
    assert "777.31" in owner

    for name in ("buy", "visit", "visits", "surface", "build-ups", "add-visit"):
        page = text_of(signed_in(ben()), name, *office.places.get(name, []))
        shown = re.sub(r"<svg.*?</svg>", "", page, flags=re.S)
        for figure in (PRICE_OF_LINE, "777.31", COST_OF_LINE, "31.37", "Margin",
                       "margin", "arkup"):  # fmt: skip
            assert figure not in shown, (name, figure)
        for address in ("price", "make-quote"):
            assert reverse(address, args=office.places["visit"]) not in page, name


def test_the_office_reads_prices_but_no_margin(office: Office) -> None:
    page = text_of(signed_in(olive()), "quote", *office.places["quote"])
    owners = text_of(signed_in(ada()), "quote", *office.places["quote"])

    assert PRICE_OF_LINE in page
    assert "Earned before tax" in owners
    assert "Earned before tax" not in page


INLINE = re.compile(r"""\sstyle\s*=|<style\b|\son[a-z]+\s*=\s*["']|javascript:""")
SCRIPT = re.compile(r"<script\b([^>]*)>(.*?)</script>", re.S)


def test_no_page_holds_inline_style_or_script(office: Office) -> None:
    owner = signed_in(ada())
    for name, statuses in TABLE.items():
        if statuses[0] != 200 or name.endswith("-paper") or name == "visit-file":
            continue
        if name == "kept-file":
            continue
        answer = owner.get(reverse(name, args=office.places.get(name, [])))
        page = answer.content.decode()
        assert INLINE.search(page) is None, (name, INLINE.search(page))
        for attributes, body in SCRIPT.findall(page):
            assert "src=" in attributes or "nonce=" in attributes, name
            assert "nonce=" in attributes or not body.strip(), name
        policy = answer.headers["Content-Security-Policy"]
        assert "unsafe" not in policy
        assert "default-src 'none'" in policy


def test_a_kept_file_is_shut_in(office: Office) -> None:
    answer = signed_in(ben()).get(reverse("kept-file", args=office.places["kept-file"]))

    assert answer.headers["Content-Security-Policy"].startswith("sandbox")
    assert answer.headers["Content-Disposition"].startswith("attachment")
