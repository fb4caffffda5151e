"""A secret asked once more before what a thief would change first; nothing is lost."""

from __future__ import annotations

import html
import json
import re
from datetime import timedelta
from typing import Any

import pytest
from django.contrib.sessions.backends.db import SessionStore
from django.test import Client as Browser
from django.urls import reverse
from django.utils import timezone

from materials.core.guessing import MOST
from materials.models import Business, Person
from tests.service.materials.test_own_sign_in import a_sign_in, is_in
from tests.service.materials.test_second_factor import Clock, set_up
from tests.service.office import (
    PASSWORD,
    a_stocked_business,
    ada,
    ben,
    faults,
    new_key,
    send,
)

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _business() -> None:
    a_stocked_business()


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> Clock:
    return Clock(monkeypatch)


def let_time_pass(browser: Browser, minutes: int) -> None:
    """Let the last proof of a session be so many minutes old."""
    store = SessionStore(browser.cookies["sessionid"].value)
    store["proved"] = (timezone.now() - timedelta(minutes=minutes)).isoformat()
    store.save()


def an_old_sign_in(minutes: int = 15) -> Browser:
    browser = a_sign_in(ada())
    let_time_pass(browser, minutes)
    return browser


def carried(page: str) -> dict[str, str]:
    """Return what a page that asks carries along, as a browser would send it."""
    form = page[page.index('id="prove"') :].partition("</form>")[0]
    found = re.findall(
        r'<input type="hidden" name="([^"]+)" value="([^"]*)"', form, re.S
    )
    return {name: html.unescape(value) for name, value in found}


def asks(response: Any) -> bool:
    return 'id="prove"' in response.content.decode()


CHANGES: dict[str, tuple[list[Any], dict[str, str]]] = {
    "people": ([], {"name": "Dora Finch", "username": "dora", "role": "owner",
                    "password": "a new bucket of blue chalk"}),
    "own-address": ([], {"email": "ada@example.org"}),
}  # fmt: skip


def role_of_ben() -> str:
    return str(Person.objects.get(username="ben").role)


def test_a_role_changes_once_the_password_was_given_and_not_before() -> None:
    ben()
    browser = an_old_sign_in()

    page = send(browser, "change-person", ben().pk, role="office", expect=200)
    assert asks(page)
    assert role_of_ben() == "setter"

    entry = carried(page.content.decode())
    place = reverse("change-person", args=[ben().pk])
    browser.post(place, {**entry, "password-now": PASSWORD})

    assert role_of_ben() == "office"


def test_looking_by_head_is_asked_for_proof_as_well(settings: Any) -> None:
    settings.SECOND_FACTOR = "offered"
    browser = an_old_sign_in()

    answers = [
        getattr(browser, method)(reverse("add-app")) for method in ("get", "head")
    ]

    for answer in answers:
        assert answer.status_code == 302
        assert answer.headers["Location"].startswith(reverse("prove"))


@pytest.mark.parametrize("minutes", [0, 14])
def test_nobody_is_asked_within_a_quarter_of_an_hour(minutes: int) -> None:
    ben()
    browser = an_old_sign_in(minutes)

    send(browser, "change-person", ben().pk, role="office")

    assert role_of_ben() == "office"


@pytest.mark.parametrize("name", sorted(CHANGES))
def test_what_was_typed_rides_along_through_a_wrong_password(name: str) -> None:
    args, entry = CHANGES[name]
    browser = an_old_sign_in()
    place = reverse(name, args=args)
    sent = {**entry, "request_key": new_key()}

    first = browser.post(place, sent)
    wrong = browser.post(
        place, {**carried(first.content.decode()), "password-now": "not it at all"}
    )
    assert (first.status_code, wrong.status_code) == (200, 422)
    assert "That was not right" in faults(wrong)[0]
    assert carried(wrong.content.decode()).items() >= sent.items()
    assert "no-store" in wrong.headers["Cache-Control"]

    right = browser.post(
        place, {**carried(wrong.content.decode()), "password-now": PASSWORD}
    )
    assert right.status_code == 302
    kept = json.dumps(list(Person.objects.values()), default=str)
    assert (entry.get("username") or entry["email"]) in kept


def business_form(browser: Browser, **changes: str) -> dict[str, str]:
    """Return the page's form as it stands, with changes."""
    page = browser.get(reverse("business")).context["form"]
    entry = {
        bound.name: bound.value()
        for bound in page
        if bound.value() not in (None, False)
    }
    return {
        **{k: str(v) for k, v in entry.items()},
        **changes,
        "request_key": new_key(),
    }


@pytest.mark.parametrize(
    "change", [{"bank_lines": "Quay Bank\n11-22-33 445566"}, {"email": "x@example.org"}]
)
def test_where_money_goes_changes_only_after_proof(change: dict[str, str]) -> None:
    browser = an_old_sign_in()
    entry = business_form(browser, **change)
    place = reverse("business")

    asked = browser.post(place, entry)
    assert asks(asked), faults(asked)
    before = Business.objects.get()
    assert (before.bank_lines, before.email) == ("", "")
    assert carried(asked.content.decode()).items() >= entry.items()

    done = browser.post(
        place, {**carried(asked.content.decode()), "password-now": PASSWORD}
    )
    assert done.status_code == 302, faults(done)
    after = Business.objects.get()
    for name, value in change.items():
        assert getattr(after, name).split() == value.split()


def test_anything_else_of_the_business_changes_unasked() -> None:
    browser = an_old_sign_in()

    response = browser.post(
        reverse("business"), business_form(browser, phone="0100 555")
    )

    assert response.status_code == 302, faults(response)
    assert Business.objects.get().phone == "0100 555"


@pytest.mark.parametrize("name", ["add-app", "add-passkey"])
def test_a_page_that_shows_a_secret_is_shown_after_proof(
    name: str, settings: Any
) -> None:
    settings.SECOND_FACTOR = "offered"
    browser = an_old_sign_in()
    there = browser.get(reverse(name)).headers["Location"]
    assert there.startswith(reverse("prove"))

    page = browser.get(there)
    entry = carried(page.content.decode())
    response = browser.post(reverse("prove"), {**entry, "password-now": PASSWORD})

    assert response.headers["Location"] == reverse(name)
    assert browser.get(reverse(name)).status_code == 200


@pytest.mark.parametrize(
    "wanted",
    ["https://elsewhere.example/", "//elsewhere.example", "javascript:alert(1)",
     "/\\elsewhere.example", "http:///elsewhere.example", ""],
)  # fmt: skip
def test_proof_leads_nobody_away(wanted: str) -> None:
    browser = an_old_sign_in()
    entry = {"prove": "1", "next": wanted, "password-now": PASSWORD}

    response = browser.post(reverse("prove"), entry)

    assert response.headers["Location"] == reverse("own-sign-in")


def test_a_code_of_the_app_is_proof_too_and_counts_once(
    clock: Clock, settings: Any
) -> None:
    settings.SECOND_FACTOR = "offered"
    browser = a_sign_in(ada())
    secret, codes = set_up(browser, clock)
    clock.tick()
    place, code = reverse("prove"), clock.code(secret)

    def proves(said: str) -> int:
        let_time_pass(browser, 60)
        entry = {"prove": "1", "next": "/people/", "code-now": said}
        return int(browser.post(place, entry).status_code)

    assert proves(code) == 302
    assert proves(code) == 422
    assert proves("") == 422
    assert proves(codes[0]) == 302
    assert proves(codes[0]) == 422


def test_wrong_proofs_are_guesses() -> None:
    browser = an_old_sign_in()
    wrong = {"prove": "1", "next": "/", "password-now": "not it at all"}
    for _ in range(MOST):
        browser.post(reverse("prove"), wrong)

    refused = browser.post(reverse("prove"), {**wrong, "password-now": PASSWORD})

    assert "too many wrong tries" in faults(refused)[0]
    assert is_in(browser)


@pytest.mark.parametrize("name", ["new-codes", "remove-factor"])
def test_second_factors_change_after_proof_only(
    clock: Clock, settings: Any, name: str
) -> None:
    settings.SECOND_FACTOR = "offered"
    browser = a_sign_in(ada())
    set_up(browser, clock)
    let_time_pass(browser, 16)
    args = [1] if name == "remove-factor" else []

    assert asks(send(browser, name, *args, expect=200))


def test_one_session_does_not_prove_for_another() -> None:
    ben()
    here, there = an_old_sign_in(), an_old_sign_in()
    here.post(reverse("prove"), {"prove": "1", "next": "/", "password-now": PASSWORD})

    assert asks(send(there, "change-person", ben().pk, role="office", expect=200))
    send(here, "change-person", ben().pk, role="office")
