"""Sign-in, and who may sign in as what."""

from __future__ import annotations

import json

import pytest
from django.test import Client as Browser
from django.urls import reverse

from materials.core.chain import broken_links
from materials.models import AuditEntry, Person
from materials.queries.books import steps
from tests.service.office import (
    PASSWORD,
    a_business,
    ada,
    ben,
    faults,
    new_key,
    olive,
    send,
    signed_in,
    text_of,
)

pytestmark = pytest.mark.django_db

DORA = {
    "name": "Dora Finch",
    "username": "dora",
    "role": "setter",
    "password": PASSWORD,
}


def test_somebody_added_can_sign_in_and_out_again() -> None:
    a_business()
    send(signed_in(ada()), "people", **DORA)
    browser = Browser()

    send(browser, "sign-in", username="dora", password=PASSWORD)
    inside = browser.get(reverse("visits"))
    send(browser, "sign-out")
    outside = browser.get(reverse("visits"))

    dora = Person.objects.get(username="dora")
    assert (dora.role, dora.initials, str(dora)) == ("setter", "DF", "Dora Finch")
    assert dora.password.startswith("argon2")
    assert inside.status_code == 200
    assert reverse("sign-in") in outside.headers["Location"]


def test_a_wrong_password_signs_nobody_in() -> None:
    a_business()
    send(signed_in(ada()), "people", **DORA)
    browser = Browser()

    send(browser, "sign-in", username="dora", password="wrong" * 4, expect=200)

    assert browser.get(reverse("visits")).status_code == 302


def test_signing_out_takes_a_post() -> None:
    assert signed_in(ada()).get(reverse("sign-out")).status_code == 405


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"username": "ADA"}, "already signs in here"),
        ({"password": "tooshort"}, "at least 15 characters"),
        ({"role": "king"}, "Select a valid choice"),
        ({"name": ""}, "This field is required"),
        ({"username": "two words"}, "valid “slug”"),
        ({"request_key": ""}, "lost its key"),
    ],
)
def test_nobody_is_added_by_a_wrong_form_and_nothing_typed_is_lost(
    change: dict[str, str], sentence: str
) -> None:
    a_business()
    browser = signed_in(ada())
    entry = {**DORA, **change}

    response = send(browser, "people", expect=422, **entry)

    assert any(sentence in fault for fault in faults(response)), faults(response)
    assert not Person.objects.filter(username="dora").exists()
    if entry["name"]:
        assert 'value="Dora Finch"' in response.content.decode()
    assert PASSWORD not in response.content.decode()


def test_the_security_log_tells_of_roles_and_of_access_that_ended(
    caplog: pytest.LogCaptureFixture,
) -> None:
    a_business()
    browser = signed_in(ada())
    send(browser, "change-person", ben().pk, role="office")
    send(browser, "change-person", ben().pk, end="1")

    said = [
        json.loads(one.getMessage())
        for one in caplog.records
        if one.name == "gaugerod.security"
    ]
    told = [(one["event"], one["who"], one["person"]) for one in said]
    assert ("role changed", ada().pk, ben().pk) in told
    assert ("access ended", ada().pk, ben().pk) in told


def test_another_role_holds_from_the_next_page_on() -> None:
    a_business()
    setter = signed_in(ben())
    assert setter.get(reverse("price-list")).status_code == 403

    send(signed_in(ada()), "change-person", ben().pk, role="office")

    assert setter.get(reverse("price-list")).status_code == 200
    entry = AuditEntry.objects.latest("seq")
    assert (entry.action, entry.actor) == ("change role", ada())
    assert entry.facts == {"before": "setter", "after": "office"}


def test_access_that_ended_ends_at_once() -> None:
    a_business()
    setter = signed_in(ben())

    send(signed_in(ada()), "change-person", ben().pk, end="1")

    assert setter.get(reverse("visits")).status_code == 302
    assert not Person.objects.get(username="ben").is_active


@pytest.mark.parametrize("change", [{"role": "setter"}, {"end": "1"}])
def test_the_last_owner_stays_owner(change: dict[str, str]) -> None:
    a_business()
    browser = signed_in(ada())

    send(browser, "change-person", ada().pk, **change)

    assert "Somebody must own the business" in text_of(browser, "people")
    ada_now = Person.objects.get(username="ada")
    assert (ada_now.role, ada_now.is_active) == ("owner", True)


def test_an_owner_may_step_down_once_there_is_another() -> None:
    a_business()
    browser = signed_in(ada())
    send(browser, "change-person", olive().pk, role="owner")

    send(browser, "change-person", ada().pk, role="office")

    assert Person.objects.get(username="ada").role == "office"


def test_an_unknown_role_is_refused_with_a_sentence() -> None:
    a_business()
    browser = signed_in(ada())

    send(browser, "change-person", ben().pk, role="king")

    assert "Choose owner, setter or office" in text_of(browser, "people")
    assert Person.objects.get(username="ben").role == "setter"


def test_the_trail_is_one_chain() -> None:
    a_business()
    browser = signed_in(ada())
    send(browser, "people", **DORA)
    send(browser, "change-person", ben().pk, role="office", request_key=new_key())

    entries = list(AuditEntry.objects.order_by("seq"))

    assert [entry.seq for entry in entries] == [1, 2]
    assert entries[1].previous == entries[0].digest
    found = broken_links(steps(), last=2, head=entries[1].digest)
    assert list(found) == []
