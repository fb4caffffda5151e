"""Guessing is slowed down, and whoever owns the name still comes in."""

from __future__ import annotations

import json
import re
import threading
from datetime import timedelta
from typing import Any

import pytest
from django.contrib.auth.hashers import Argon2PasswordHasher
from django.core.management import CommandError, call_command
from django.db import connection
from django.test import Client as Browser
from django.urls import reverse
from django.utils import timezone

from materials.core.guessing import IN_ALL, MOST, MOST_OF_AN_ADDRESS
from materials.models import Guesses, Person
from materials.services import lockout
from tests.service.office import (
    PASSWORD,
    a_business,
    ada,
    ben,
    faults,
    send,
    signed_in,
)

pytestmark = pytest.mark.django_db

WRONG = "a-wrong-guess-of-a-stranger"
ELSEWHERE = "203.0.113.9"


@pytest.fixture
def hashed(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Count every password that is hashed, and hash it cheaply."""
    seen: list[str] = []

    def encode(_hasher: object, password: str, _salt: str) -> str:
        seen.append(password)
        return f"argon2${password}"

    def verify(_hasher: object, password: str, encoded: str) -> bool:
        seen.append(password)
        return encoded == f"argon2${password}"

    monkeypatch.setattr(Argon2PasswordHasher, "encode", encode)
    monkeypatch.setattr(Argon2PasswordHasher, "verify", verify)
    monkeypatch.setattr(Argon2PasswordHasher, "must_update", lambda *_: False)
    return seen


@pytest.fixture(autouse=True)
def _owner(hashed: list[str]) -> None:
    a_business()
    person = ada()
    person.set_password(PASSWORD)
    person.save()
    hashed.clear()


def guess(browser: Browser, username: str, password: str = WRONG, **meta: str) -> Any:
    entry = {"username": username, "password": password}
    return browser.post(reverse("sign-in"), entry, **meta)


def guessed(username: str, times: int, **meta: str) -> list[int]:
    browser = Browser()
    return [guess(browser, username, **meta).status_code for _ in range(times)]


def came_in(response: Any) -> bool:
    return bool(response.status_code == 302)


def test_after_ten_wrong_tries_nothing_is_hashed_any_more(hashed: list[str]) -> None:
    statuses = guessed("ada", 12)

    assert statuses == [200] * MOST + [429] * 2
    assert hashed == [WRONG] * MOST
    refused = guess(Browser(), "ada", PASSWORD)
    assert refused.status_code == 429
    assert "too many wrong tries" in faults(refused)[0]
    assert hashed == [WRONG] * MOST


def test_other_addresses_and_other_spellings_share_the_tries_of_a_name() -> None:
    for place in range(MOST):
        name = "ada" if place % 2 else "ADA"
        assert guess(Browser(), name, REMOTE_ADDR=f"192.0.2.{place}").status_code == 200

    assert guess(Browser(), "Ada", REMOTE_ADDR="192.0.2.99").status_code == 429


def test_an_unknown_name_gets_the_same_answers_for_the_same_work(
    hashed: list[str],
) -> None:
    pages = {}
    for name in ("ada", "nobody-here"):
        hashed.clear()
        found = [guess(Browser(), name) for _ in range(MOST + 1)]
        token = re.compile(r'csrfmiddlewaretoken" value="\w+"')
        texts = [
            token.sub("", one.content.decode()).replace(f'value="{name}"', "")
            for one in found
        ]
        pages[name] = ([one.status_code for one in found], texts, len(hashed))

    assert pages["ada"] == pages["nobody-here"]
    assert pages["ada"][2] == MOST


def test_strangers_do_not_shut_the_owner_out_of_a_known_device() -> None:
    browser = Browser()
    assert came_in(guess(browser, "ada", PASSWORD))
    send(browser, "sign-out")

    guessed("ada", MOST + 1, REMOTE_ADDR=ELSEWHERE)

    assert came_in(guess(browser, "ada", PASSWORD))
    assert guess(Browser(), "ada", PASSWORD).status_code == 429


def test_a_known_device_is_known_for_its_people_only_and_bears_ten_tries_too() -> None:
    browser = Browser()
    guess(browser, "ada", PASSWORD)
    send(browser, "sign-out")
    guessed("ada", MOST, REMOTE_ADDR=ELSEWHERE)
    guessed("ben", MOST, REMOTE_ADDR=ELSEWHERE)

    assert guess(browser, "ben").status_code == 429
    assert [guess(browser, "ada").status_code for _ in range(MOST + 1)] == [
        *[200] * MOST, 429,
    ]  # fmt: skip


def test_two_people_share_a_device() -> None:
    person = ben()
    person.set_password(PASSWORD)
    person.save()
    browser = Browser()
    for name in ("ada", "ben"):
        guess(browser, name, PASSWORD)
        send(browser, "sign-out")
        guessed(name, MOST, REMOTE_ADDR=ELSEWHERE)

    for name in ("ada", "ben"):
        assert came_in(guess(browser, name, PASSWORD)), name
        send(browser, "sign-out")


@pytest.mark.parametrize("forged", ["", "x", "eyJ9:1:abc", None])
def test_a_cookie_we_did_not_sign_knows_nobody(forged: str | None) -> None:
    browser = Browser()
    guess(browser, "ada", PASSWORD)
    signed = browser.cookies[lockout.device_cookie()].value
    stranger = Browser()
    stranger.cookies[lockout.device_cookie()] = (
        signed[:-1] + ("A" if signed[-1] != "A" else "B") if forged is None else forged
    )

    guessed("ada", MOST, REMOTE_ADDR=ELSEWHERE)

    assert guess(stranger, "ada", PASSWORD).status_code == 429


def test_the_cookie_of_a_device_is_for_us_alone(settings: Any) -> None:
    settings.HTTPS = True
    response = guess(Browser(), "ada", PASSWORD, secure=True)

    cookie = response.cookies["__Host-known-device"]
    assert (cookie["secure"], cookie["httponly"], cookie["samesite"]) == (
        True, True, "Lax",
    )  # fmt: skip
    assert (cookie["path"], cookie["domain"]) == ("/", "")


def test_after_a_quarter_of_an_hour_the_name_is_open_again() -> None:
    guessed("ada", MOST)
    earlier = timezone.now() - timedelta(minutes=16)
    Guesses.objects.update(recent=[earlier.isoformat()] * MOST)

    assert came_in(guess(Browser(), "ada", PASSWORD))


@pytest.mark.parametrize("by", ["owner", "server"])
def test_a_hundred_wrong_tries_in_a_row_wait_for_somebody_to_let_them_in(
    by: str,
) -> None:
    for place in range(IN_ALL):
        Guesses.objects.update(recent=[])
        assert (
            guess(Browser(), "ada", REMOTE_ADDR=f"192.0.2.{place}").status_code == 200
        )
    Guesses.objects.update(recent=[])
    assert guess(Browser(), "ada", PASSWORD).status_code == 429

    if by == "owner":
        send(signed_in(ben_as_owner()), "change-person", ada().pk, **{"let-in": "1"})
    else:
        call_command("let_in", "ada", verbosity=0)

    assert came_in(guess(Browser(), "ada", PASSWORD))


def test_letting_somebody_in_opens_the_devices_they_know_too() -> None:
    browser = Browser()
    guess(browser, "ada", PASSWORD)
    send(browser, "sign-out")
    Guesses.objects.all().delete()
    guess(browser, "ada")
    Guesses.objects.update(recent=[], in_all=IN_ALL)
    assert guess(browser, "ada", PASSWORD).status_code == 429

    call_command("let_in", "ada", verbosity=0)

    assert came_in(guess(browser, "ada", PASSWORD))


def ben_as_owner() -> Person:
    person = ben()
    person.role = Person.Role.OWNER
    person.save()
    return person


def test_the_server_lets_nobody_in_whom_it_does_not_know() -> None:
    with pytest.raises(CommandError, match="Nobody signs in as “eve”"):
        call_command("let_in", "eve")


def test_one_address_cannot_try_one_password_at_all_names() -> None:
    browser = Browser()
    statuses = [
        guess(browser, f"name-{place}").status_code
        for place in range(MOST_OF_AN_ADDRESS + 2)
    ]

    assert statuses == [200] * MOST_OF_AN_ADDRESS + [429] * 2
    assert guess(Browser(), "name-99", REMOTE_ADDR=ELSEWHERE).status_code == 200


def test_a_password_that_is_known_does_not_give_an_address_its_tries_back() -> None:
    browser = Browser()
    for place in range(MOST_OF_AN_ADDRESS):
        guess(browser, f"name-{place}")
        if place % 10 == 9 and place < MOST_OF_AN_ADDRESS - 1:
            assert came_in(guess(Browser(), "ada", PASSWORD))

    assert guess(browser, "another").status_code == 429


@pytest.mark.parametrize(("proxies", "last"), [(0, 429), (1, 200)])
def test_a_forwarded_address_is_believed_of_a_proxy_of_ours_only(
    settings: Any, proxies: int, last: int
) -> None:
    settings.PROXIES = proxies
    statuses = [
        guess(
            Browser(), f"name-{place}", HTTP_X_FORWARDED_FOR=f"203.0.113.{place}"
        ).status_code
        for place in range(MOST_OF_AN_ADDRESS + 1)
    ]

    assert statuses[-1] == last


@pytest.mark.parametrize("method", ["put", "patch", "delete", "options", "trace"])
@pytest.mark.parametrize("page", ["sign-in", "sign-out"])
def test_a_method_that_nobody_uses_is_refused(method: str, page: str) -> None:
    browser = signed_in(ada()) if page == "sign-out" else Browser()

    assert getattr(browser, method)(reverse(page)).status_code == 405


@pytest.mark.parametrize("username", ["nul\0byte", ""])
def test_names_that_cannot_be_are_refused_and_cost_nothing(
    username: str, hashed: list[str]
) -> None:
    response = guess(Browser(), username)

    assert response.status_code == 200
    assert hashed == []
    assert Guesses.objects.count() == 0


def test_a_password_of_endless_length_is_not_hashed(hashed: list[str]) -> None:
    assert guess(Browser(), "ada", "x" * 257).status_code == 200
    assert hashed == []


def test_guesses_of_a_month_ago_are_forgotten() -> None:
    guess(Browser(), "ada")
    Guesses.objects.update(last_at=timezone.now() - timedelta(days=31))

    guess(Browser(), "ben", REMOTE_ADDR=ELSEWHERE)

    assert Guesses.objects.count() == 2


def test_what_is_typed_in_the_wrong_field_is_kept_nowhere(
    caplog: pytest.LogCaptureFixture,
) -> None:
    guess(Browser(), PASSWORD, "ada")
    guess(Browser(), "ada\r\nX", WRONG)

    kept = json.dumps(list(Guesses.objects.values()), default=str)
    assert PASSWORD not in kept + caplog.text
    assert WRONG not in kept + caplog.text


def test_every_end_of_a_try_is_told_to_the_log(
    caplog: pytest.LogCaptureFixture,
) -> None:
    browser = Browser()
    guess(browser, "ada", REMOTE_ADDR=ELSEWHERE)
    guess(browser, "nobody-here", REMOTE_ADDR=ELSEWHERE)
    guess(browser, "ada", PASSWORD, REMOTE_ADDR=ELSEWHERE)
    send(browser, "sign-out")
    guessed("ben", MOST + 1)

    said = [
        json.loads(one.getMessage())
        for one in caplog.records
        if one.name == "gaugerod.security"
    ]
    found = [(one["event"], one["person"]) for one in said]
    assert found[:4] == [
        ("sign-in failed", ada().pk),
        ("sign-in failed", "unknown"),
        ("signed in", ada().pk),
        ("signed out", ada().pk),
    ]
    assert found[-1] == ("sign-in locked", "unknown")
    assert said[0]["from"] == ELSEWHERE
    assert all(one["at"].endswith("+00:00") for one in said)


@pytest.mark.django_db(transaction=True)
def test_tries_at_the_same_moment_count_each_other() -> None:
    subject = lockout.Subject(key="a" * 64)
    barrier = threading.Barrier(4)
    passed: list[bool] = []

    def run() -> None:
        barrier.wait()
        try:
            passed.extend(
                lockout.take_a_try([subject], at=timezone.now()) for _ in range(5)
            )
        finally:
            connection.close()

    rivals = [threading.Thread(target=run) for _ in range(4)]
    for one in rivals:
        one.start()
    for one in rivals:
        one.join()

    assert sorted(passed) == [False] * 10 + [True] * MOST
