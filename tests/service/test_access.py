"""Every address, asked by every role with every method, answers as the matrix says."""

from __future__ import annotations

import copy
import hashlib
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from allauth.mfa.totp.internal.auth import TOTP, generate_totp_secret
from django.apps import apps
from django.db import transaction
from django.test import Client as Browser
from django.test import override_settings
from django.urls import URLPattern, URLResolver, get_resolver, reverse

from materials.models import Person
from tests.service.office import (
    PASSWORD,
    a_person,
    ada,
    ben,
    inline_in,
    olive,
    signed_in,
)
from tests.service.whole_office import LINKS, WholeOffice, a_whole_office, ended

pytestmark = pytest.mark.django_db

METHODS = ("GET", "HEAD", "POST", "PUT", "PATCH", "DELETE", "OPTIONS")
ROLES = ("nobody", "setter", "closed", "office", "owner", "ended", "owes", "halfway")
REQUIRED = ("owes", "halfway")
"""Roles of a business where everybody must have a second factor."""
COUNTED = ("materials.Guesses", "quotes.LinkLook")
"""How often something was asked for is counted by looking, too, and is no data."""
MATRIX = Path(__file__).with_name("access_matrix.txt")
NOTHING_ASKED_FOR = {"sent": "1"}
LOOKED = "a request that should only look, or that was refused, changed a row"


def _lines() -> Iterator[list[str]]:
    for line in MATRIX.read_text("utf-8").splitlines():
        words = line.partition("#")[0].split()
        if words:
            yield words


WORDS = {line[1]: line[2:] for line in _lines() if line[0] == "="}
ROWS = {line[0]: line[1:] for line in _lines() if line[0] not in "=>"}
LINK_ROWS = {line[1]: line[2:] for line in _lines() if line[0] == ">"}


@pytest.fixture(scope="module")
def office(
    django_db_setup: None, django_db_blocker: Any, tmp_path_factory: Any
) -> Iterator[WholeOffice]:
    """Stand up one office for all questions; each is asked in a savepoint."""
    media = tmp_path_factory.mktemp("media")
    with django_db_blocker.unblock(), a_whole_office(media) as whole:
        yield whole


@pytest.fixture(scope="module")
def browsers(office: WholeOffice) -> dict[str, Browser]:
    """Return a browser for each role."""
    gone = signed_in(ended())
    Person.objects.filter(pk=ended().pk).update(is_active=False)
    setter = signed_in(ben())
    return {
        "nobody": Browser(),
        "setter": setter,
        "closed": setter,
        "office": signed_in(olive()),
        "owner": signed_in(ada()),
        "ended": gone,
        "owes": signed_in(a_person("una", Person.Role.OWNER)),
        "halfway": halfway(a_person("hal", Person.Role.OWNER)),
    }


def halfway(person: Person) -> Browser:
    """Return a browser that gave the right password of who has a second factor."""
    person.set_password(PASSWORD)
    person.save()
    TOTP.activate(person, generate_totp_secret())
    browser = Browser()
    with override_settings(SECOND_FACTOR="required"):
        typed = {"username": person.username, "password": PASSWORD}
        answer = browser.post(reverse("sign-in"), typed)
    assert answer.headers["Location"] == reverse("second-step")
    return browser


def fingerprint() -> dict[str, str]:
    """Return a digest of every table."""
    return {
        model._meta.label: hashlib.sha256(
            repr(list(model._base_manager.order_by("pk").values_list())).encode()
        ).hexdigest()
        for model in apps.get_models(include_auto_created=True)
        if model._meta.label not in COUNTED
    }


def asked(browser: Browser, method: str, address: str) -> Any:
    """Return the answer; whatever it did is undone, in the browser too.

    What only looks is not undone but in the browser: it must not have done anything.
    """
    ask = getattr(browser, method.lower())
    cookies = copy.deepcopy(browser.cookies)
    if method != "POST":
        answer = ask(address)
    else:
        with transaction.atomic():
            answer = ask(address, NOTHING_ASKED_FOR)
            transaction.set_rollback(True)
    browser.cookies = cookies
    return answer


def said(answer: Any) -> str:
    """Return an answer in the matrix's words."""
    if answer.status_code != 302:
        return str(answer.status_code)
    to_sign_in = answer.headers["Location"].startswith(f"{reverse('sign-in')}?next=")
    return "in" if to_sign_in else "on"


def deviations(browser: Browser, address: str, word: str) -> list[str]:
    """Return what an address answers otherwise than a word says."""
    found = []
    for method, wanted in zip(METHODS, WORDS[word], strict=True):
        if wanted == ".":
            continue
        got = said(asked(browser, method, address))
        if got != wanted:
            found.append(f"{method} {got} for {wanted}")
    return found


def patterns(resolver: URLResolver | None = None) -> Iterator[URLPattern]:
    for one in (resolver or get_resolver()).url_patterns:
        if isinstance(one, URLResolver):
            yield from patterns(one)
        else:
            yield one


def test_the_matrix_knows_every_address_and_no_other() -> None:
    names = [one.name for one in patterns()]

    assert None not in names
    assert sorted(names) == sorted(ROWS)
    assert set(LINK_ROWS) == {
        one.name for one in patterns() if "token" in one.pattern.converters
    }


def test_the_matrix_is_whole() -> None:
    rows = [*ROWS.values(), *LINK_ROWS.values()]

    assert {len(row) for row in ROWS.values()} == {len(ROLES)}
    assert {len(row) for row in LINK_ROWS.values()} == {len(LINKS)}
    assert {len(word) for word in WORDS.values()} == {len(METHODS)}
    assert {word for row in rows for word in row} - {"-"} == set(WORDS)


def test_every_address_has_its_arguments(office: WholeOffice) -> None:
    for one in patterns():
        named = one.name in office.places
        assert named == bool(one.pattern.converters), one.name
        if named and "token" not in one.pattern.converters:
            assert one.name in office.missing, one.name


@pytest.mark.parametrize("role", ROLES)
def test_every_address_opens_to_its_roles_and_methods_only(
    role: str, office: WholeOffice, browsers: dict[str, Browser], settings: Any
) -> None:
    if role in REQUIRED:
        settings.SECOND_FACTOR = "required"
    wrong, before = {}, fingerprint()
    for name, row in ROWS.items():
        word = row[ROLES.index(role)]
        if word == "-":
            assert name not in office.closed, name
            continue
        args = (office.closed if role == "closed" else office.places).get(name, [])
        found = deviations(browsers[role], reverse(name, args=args), word)
        if found:
            wrong[name] = found

    assert wrong == {}
    after = fingerprint()
    # The page where a factor is set up keeps the secret that it shows in the session.
    kept = {"sessions.Session"} if role == "owes" else set()
    assert {one for one in before if before[one] != after[one]} <= kept, LOOKED


@pytest.mark.parametrize("state", LINKS)
def test_a_private_link_opens_its_own_quote_while_it_lives(
    state: str, office: WholeOffice
) -> None:
    wrong = {}
    for name, row in LINK_ROWS.items():
        address = reverse(name, args=[office.links[state]])
        found = deviations(Browser(), address, row[LINKS.index(state)])
        if found:
            wrong[name] = found

    assert wrong == {}


def test_a_private_link_shows_its_own_quote_and_no_other(office: WholeOffice) -> None:
    pages = {
        state: asked(Browser(), "GET", reverse("offer", args=[office.links[state]]))
        for state in ("this", "other")
    }
    numbers = {
        state: set(re.findall(r"Q\d{4}-\d{4}", page.content.decode()))
        for state, page in pages.items()
    }

    assert len(numbers["this"]) == len(numbers["other"]) == 1
    assert numbers["this"] != numbers["other"]


def bare(answer: Any) -> tuple[int, bytes, list[tuple[str, str]]]:
    """Return an answer without what is drawn anew for each: tokens and nonces."""
    body = re.sub(rb'value="[A-Za-z0-9]{64}"', b"", answer.content)
    head = sorted((name, value) for name, value in answer.items())
    return answer.status_code, body, head


def test_what_is_elsewhere_answers_like_what_is_nowhere(
    office: WholeOffice, browsers: dict[str, Browser]
) -> None:
    for role in ("owner", "setter"):
        nowhere = bare(asked(browsers[role], "GET", "/nowhere/"))
        assert nowhere[0] == 404
        places = [*office.missing.items(), *office.foreign]
        if role == "setter":
            places += list(office.closed.items())
        seen = 0
        for name, args in places:
            address = reverse(name, args=args)
            for method in ("GET", "POST"):
                answer = asked(browsers[role], method, address)
                if answer.status_code not in (403, 405):
                    assert bare(answer) == nowhere, (role, name, args, method)
                    seen += 1
        assert seen >= {"owner": 60, "setter": 25}[role]


def test_a_link_that_ended_answers_like_one_that_never_was(
    office: WholeOffice,
) -> None:
    for name in LINK_ROWS:
        method = "GET" if name in ("offer", "offer-paper") else "POST"
        answers = [
            bare(asked(Browser(), method, reverse(name, args=[office.links[state]])))
            for state in ("unknown", "expired", "revoked")
        ]
        assert answers[0][0] == 404
        assert answers[0] == answers[1] == answers[2], name


def test_no_page_holds_inline_style_or_script(
    office: WholeOffice, browsers: dict[str, Browser]
) -> None:
    seen = 0
    for name, row in ROWS.items():
        if WORDS[row[ROLES.index("owner")]][0] != "200":
            continue
        answer = browsers["owner"].get(office.address(name))
        if answer.headers["Content-Type"].startswith("text/html"):
            assert inline_in(answer.content.decode()) == [], name
            seen += 1
    assert seen > 50
