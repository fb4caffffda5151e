"""Client-made keys: asked for, first outcome repeated, other content refused.

Every address that makes a row is listed by hand; a new one fails until it is.
"""

from __future__ import annotations

import inspect
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

import pytest
from django.apps import apps
from django.test import Client as Browser
from django.urls import reverse
from django.utils import timezone

from materials.models import AuditEntry, Material, RequestKey, SignIn
from materials.urls import urlpatterns as materials_urls
from quotes.models import Visit
from quotes.urls import urlpatterns as quotes_urls
from tests.service.jobs.test_pages import a_photo
from tests.service.office import (
    WALL,
    a_business,
    a_draft,
    a_hand_line,
    a_material,
    a_pack,
    a_space,
    a_supplier,
    a_visit,
    ada,
    an_offer,
    new_key,
    signed_in,
    text_of,
)

pytestmark = pytest.mark.django_db


@dataclass(frozen=True, slots=True)
class Creation:
    """What to send to make one row, and what to change for other content."""

    name: str
    place: Callable[[], list[Any]]
    data: dict[str, Any]
    change: dict[str, str]
    made: str
    extra: Callable[[], dict[str, Any]] = field(default=dict)


def _visit() -> list[Any]:
    return [a_visit().uid]


def _of_visit(kind: str) -> Callable[[], list[Any]]:
    return lambda: [a_visit().uid, kind]


def a_board() -> Material:
    return Material.objects.get_or_create(
        code="BB-1", defaults={"name": "Board", "kind": "backer_board", "facts": {}}
    )[0]


def _nothing() -> list[Any]:
    a_business()
    return []


VISIT = {
    "title": "A hall floor",
    "client_name": "Mr Adeyemi",
    "address": "2 Quay Street",
    "held_on": "2026-05-04",
    "nature": "household",
    "system": "metric",
}
PRICE = {"amount": "12.40", "valid_from": "2026-06-01", "least_packs": "1"}
CREATIONS = [
    Creation("people", _nothing, {"name": "Dora Finch", "username": "dora",
             "role": "setter", "password": "wet-saw-and-chalk-line"},
             {"role": "office"}, "materials.Person"),
    Creation("suppliers", _nothing, {"name": "Harrow Lane"}, {"name": "Quay Stone"},
             "materials.Supplier"),
    Creation("add-product", lambda: [*_nothing(), "grout"],
             {"code": "GR-9", "name": "Grout", "fact_density": "1.6",
              "fact_loss": "10 %"}, {"name": "Grout, sand"}, "materials.Material"),
    Creation("add-pack", lambda: [a_material().pk],
             {"label": "bag 5 kg", "content": "5", "lead_days": "0", **PRICE},
             {"content": "6"}, "materials.Pack",
             lambda: {"supplier": a_supplier().pk}),
    Creation("change-price", lambda: [a_pack().pk], PRICE, {"amount": "13.95"},
             "materials.Price"),
    Creation("add-piece", _nothing, {"width": "600", "height": "900", "value": "2.50"},
             {"width": "650"}, "materials.Offcut", lambda: {"material": a_board().pk}),
    Creation("add-visit", _nothing, VISIT, {"title": "A landing"}, "quotes.Visit"),
    Creation("copy-visit", _visit, VISIT, {"title": "A landing"}, "quotes.Visit"),
    Creation("add-space", _visit, {"name": "Hall", "times": "1"}, {"times": "2"},
             "quotes.Space"),
    Creation("add-surface", lambda: [a_space().uid], WALL, {"width": "2500"},
             "quotes.Surface"),
    Creation("add-photo", _visit, {"note": "damp"}, {"note": "dry"},
             "quotes.VisitPhoto", lambda: {"photo": a_photo()}),
    Creation("choice", _of_visit("hand-line"),
             {"text": "Haul away", "quantity": "1", "unit_price": "60",
              "cost_class": "disposal"}, {"unit_price": "70"}, "quotes.HandLine"),
    Creation("choice", _of_visit("allowance"),
             {"nature": "allowance", "text": "Niche tile", "amount": "90"},
             {"amount": "95"}, "quotes.Allowance"),
    Creation("mail-quote", lambda: [an_offer().quote.number],
             {"to": "okafor@example.org", "words": "As promised"},
             {"words": "As agreed"}, "materials.Outgoing"),
]  # fmt: skip
NAMES = [f"{one.name}-{one.made}" for one in CREATIONS]

# They make no row, or one row whatever is sent again.
NOT_CREATING = {
    "sign-in": "a session",
    "sign-out": "a session",
    "second-step": "a session",
    "prove": "a session",
    "add-app": "one app a person, whatever is sent again",
    "add-passkey": "one passkey an offer, which is answered once",
    "new-codes": "in place of the old ones",
    "remove-factor": "takes a row out",
    "own-sign-in": "reads",
    "own-password": "changes a row; sent again, the old password is wrong by then",
    "own-address": "changes a row; sent again, it is there already",
    "end-sign-ins": "takes rows out",
    "change-person": "changes a row",
    "price-list": "reads",
    "price-sheet": "one file by its content; tested beside its page",
    "price-table-out": "reads",
    "judged-sheet": "tested beside its page",
    "first-guess": "reads",
    "stairs": "reads",
    "product": "changes a row",
    "kept-file": "reads",
    "rack": "reads",
    "count-rack": "changes rows",
    "rack-rules": "one row",
    "write-off": "changes a row",
    "release-offcut": "changes a row",
    "write-off-stale": "changes rows",
    "outbox": "reads",
    "decide-outgoing": "changes a row",
    "business": "one row, tested below",
    "clients": "reads",
    "visits": "reads",
    "visit": "reads",
    "change-visit": "changes a row at a version",
    "visit-changes": "reads",
    "visit-file": "reads",
    "build-ups": "one row by its key, tested below",
    "build-up": "changes a row",
    "buy": "reads",
    "cut-list": "reads",
    "cut-list-paper": "reads",
    "look-deeper": "one search a problem, whatever is sent again",
    "price": "reads",
    "remove-choice": "takes a row out",
    "make-quote": "tested below: its content is the visit alone",
    "space": "changes a row",
    "draw-surface": "keeps nothing",
    "surface": "changes a row at a version",
    "set-outs": "changes a row",
    "quotes": "reads",
    "quote": "reads",
    "quote-paper": "reads",
    "act-on-quote": "revising and making a link are tested below",
    "revoke-link": "changes a row",
    "offer": "reads",
    "offer-paper": "reads",
    "decline-offer": "one no, whatever is sent again",
}


def test_the_list_knows_every_address() -> None:
    known = {one.name for one in CREATIONS} | set(NOT_CREATING)

    assert known == {one.name for one in (*materials_urls, *quotes_urls)}
    assert not {one.name for one in CREATIONS} & set(NOT_CREATING)


def test_every_service_that_takes_a_key_claims_it() -> None:
    for service in ("materials", "quotes"):
        module = __import__(f"{service}.services", fromlist=["services"])
        for name in module.__all__:
            found = getattr(module, name)
            if inspect.isfunction(found) and name != "once":
                source = inspect.getsource(found)
                takes = "key" in inspect.signature(found).parameters
                assert takes == ("once(" in source), name


def rows() -> dict[str, int]:
    """Count every row of both apps but the keys, and the sign-ins that ask."""
    return {
        model._meta.label: model._default_manager.count()
        for app in ("materials", "quotes")
        for model in apps.get_app_config(app).get_models()
        if model not in (RequestKey, SignIn)
    }


def posted(one: Creation, place: list[Any], key: str, **change: str) -> Any:
    browser: Browser = signed_in(ada())
    data = {**one.data, **one.extra(), **change}
    if key:
        data["request_key"] = key
    return browser.post(reverse(one.name, args=place), data)


@pytest.fixture(autouse=True)
def _kept_files(settings: Any, tmp_path: Any) -> None:
    settings.MEDIA_ROOT = tmp_path


@pytest.mark.parametrize("one", CREATIONS, ids=NAMES)
def test_without_a_key_nothing_is_made(one: Creation) -> None:
    place = one.place()
    one.extra()
    ada()
    before = rows()

    for key in ("", "short", "ключ-ключ-ключ-ключ"):
        response = posted(one, place, key)
        if response.status_code == 302:
            response = signed_in(ada()).get(response.headers["Location"])
        after = rows()
        assert after[one.made] == before[one.made]
        assert after["materials.AuditEntry"] == before["materials.AuditEntry"]


@pytest.mark.parametrize("one", CREATIONS, ids=NAMES)
def test_sent_again_it_gives_the_first_outcome(one: Creation) -> None:
    place, key = one.place(), new_key()
    one.extra()
    ada()
    before = rows()

    first = posted(one, place, key)
    made = rows()
    again = posted(one, place, key)

    assert first.status_code == again.status_code == 302
    assert made[one.made] == before[one.made] + 1
    assert rows() == made
    assert first.headers["Location"] == again.headers["Location"]


@pytest.mark.parametrize("one", CREATIONS, ids=NAMES)
def test_a_key_is_good_for_one_content(one: Creation) -> None:
    place, key = one.place(), new_key()
    posted(one, place, key)
    made = rows()

    response = posted(one, place, key, **one.change)

    assert rows() == made
    if one.name != "add-photo":
        assert response.status_code in (200, 422)
        assert "already sent with other content" in response.content.decode()


def test_an_operation_added_by_hand_is_added_once() -> None:
    visit, key = a_visit(), new_key()
    data = {"operation": "protect_floor", "quantity": "2", "request_key": key}
    place = reverse("choice", args=[visit.uid, "labour"])
    browser = signed_in(ada())
    page = browser.get(place).content.decode()
    data["operation"] = page.split('<option value="')[1].split('"')[0]

    for _ in range(2):
        assert browser.post(place, data).status_code == 302
    refused = browser.post(place, {**data, "quantity": "3"})
    lost = browser.post(place, {**data, "request_key": ""})

    visit = Visit.objects.get()
    assert [row["quantity"] for row in visit.facts["labour"]] == ["2"]
    assert "already sent with other content" in refused.content.decode()
    assert "lost its key" in lost.content.decode()


def test_a_quote_is_made_once_and_without_a_key_not_at_all() -> None:
    visit, key = a_visit(), new_key()
    a_hand_line(visit)
    browser = signed_in(ada())
    place = reverse("make-quote", args=[visit.uid])

    browser.post(place, {})
    assert visit.quotes.count() == 0
    for _ in range(2):
        browser.post(place, {"request_key": key})

    assert visit.quotes.count() == 1


def test_a_quote_is_revised_once_and_without_a_key_not_at_all() -> None:
    offer, key = an_offer(), new_key()
    browser = signed_in(ada())
    place = reverse("act-on-quote", args=[offer.quote.number, "revise"])

    browser.post(place, {})
    assert offer.quote.revisions.count() == 1
    for _ in range(2):
        browser.post(place, {"request_key": key})

    assert offer.quote.revisions.count() == 2


def test_a_link_is_made_once_and_without_a_key_not_at_all() -> None:
    offer, key = an_offer(), new_key()
    browser = signed_in(ada())
    place = reverse("act-on-quote", args=[offer.quote.number, "link"])

    browser.post(place, {})
    assert offer.links.count() == 0
    for _ in range(2):
        browser.post(place, {"request_key": key})

    assert offer.links.count() == 1
    assert "/o/" in text_of(browser, "quote", offer.quote.number)


def test_a_key_of_one_form_is_none_for_another() -> None:
    draft, key = a_draft(), new_key()
    browser = signed_in(ada())
    browser.post(reverse("suppliers"), {"name": "Harrow Lane", "request_key": key})

    browser.post(
        reverse("add-space", args=[draft.quote.visit.uid]),
        {"name": "Hall", "times": "1", "request_key": key},
    )

    assert draft.quote.visit.spaces.count() == 0


def test_a_build_up_taken_twice_keeps_what_was_changed() -> None:
    visit = a_visit()
    browser = signed_in(ada())
    place = reverse("build-ups", args=[visit.uid])
    browser.post(place, {"name": "Wet wall"})
    row = visit.build_ups.get()
    row.layers = [{"role": "tile", "material": "TL-9", "joint": "3"}]
    row.save()

    browser.post(place, {"name": "Wet wall"})

    assert visit.build_ups.get().layers == row.layers


def test_a_visit_is_dated_today_where_nothing_is_said() -> None:
    a_business()
    page = signed_in(ada()).get(reverse("add-visit")).content.decode()

    assert f'value="{timezone.localdate().isoformat()}"' in page
    assert AuditEntry.objects.count() == 0
