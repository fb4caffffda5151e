"""The second step of signing in: asked, passed, used once, set up, taken away."""

from __future__ import annotations

import html
import json
import re
import time
from collections.abc import Iterator
from typing import Any

import pytest
from allauth.mfa.models import Authenticator
from allauth.mfa.totp.internal.auth import format_hotp_value, hotp_value
from django.core.management import call_command
from django.test import Client as Browser
from django.urls import URLResolver, get_resolver, reverse

from gaugerod.second_step import OPEN
from materials.core.guessing import MOST
from materials.models import AuditEntry, Outgoing, Person
from materials.presenters.scanned import square_code
from materials.services import second_factor
from materials.services.second_factor import Adapter
from tests.service.materials.test_own_sign_in import a_sign_in, is_in
from tests.service.office import (
    PASSWORD,
    a_business,
    ada,
    ben,
    faults,
    send,
    signed_in,
    text_of,
)

pytestmark = pytest.mark.django_db

STEP = 30


class Clock:
    """A clock that an app and the server share; each code is asked a step later."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.now = int(time.time())
        monkeypatch.setattr(
            "allauth.mfa.totp.internal.auth.time.time", lambda: self.now
        )

    def code(self, secret: str, *, steps: int = 0) -> str:
        return format_hotp_value(hotp_value(secret, self.now // STEP + steps))

    def tick(self, steps: int = 1) -> None:
        self.now += steps * STEP


@pytest.fixture(autouse=True)
def _offered(settings: Any) -> None:
    settings.SECOND_FACTOR = "offered"
    a_business()


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> Clock:
    return Clock(monkeypatch)


def set_up(browser: Browser, clock: Clock) -> tuple[str, list[str]]:
    """Add an app as a person does; return its secret and the recovery codes."""
    page = text_of(browser, "add-app")
    found = re.search(r'<span class="len">([A-Z2-7 ]+)</span>', page)
    assert found
    secret = found[1].replace(" ", "")
    shown = send(browser, "add-app", code=clock.code(secret), expect=200)
    codes = re.findall(r'<span class="len">([\d ]+)</span>', shown.content.decode())
    return secret, codes


def halfway(person: Person, *, keep: bool = False) -> Browser:
    browser = Browser()
    entry = {"username": person.username, "password": PASSWORD}
    response = send(browser, "sign-in", **entry, **({"keep": "on"} if keep else {}))
    assert response.headers["Location"] == reverse("second-step")
    return browser


def step(browser: Browser, code: str, expect: int = 302) -> Any:
    return send(browser, "second-step", code=code, expect=expect)


def test_the_password_alone_signs_nobody_in_who_has_an_app(clock: Clock) -> None:
    secret, _codes = set_up(a_sign_in(ada()), clock)
    clock.tick()

    browser = halfway(ada(), keep=True)
    assert not is_in(browser)
    step(browser, clock.code(secret))

    assert is_in(browser)
    assert browser.cookies["sessionid"]["max-age"] == 14 * 24 * 3600


def test_a_code_counts_once_whichever_process_asks(clock: Clock) -> None:
    secret, _codes = set_up(a_sign_in(ada()), clock)
    clock.tick()
    code = clock.code(secret)
    step(halfway(ada()), code)

    refused = step(halfway(ada()), code, expect=422)
    older = step(halfway(ada()), clock.code(secret, steps=-1), expect=422)

    assert "each code counts once" in faults(refused)[0]
    assert "each code counts once" in faults(older)[0]
    step(halfway(ada()), clock.code(secret, steps=1))


def test_the_code_that_set_the_app_up_signs_nobody_in(clock: Clock) -> None:
    secret, _codes = set_up(a_sign_in(ada()), clock)

    step(halfway(ada()), clock.code(secret), expect=422)


@pytest.mark.parametrize(
    ("steps", "expect"), [(-2, 422), (-1, 302), (0, 302), (1, 302), (2, 422)]
)
def test_a_clock_may_differ_by_half_a_minute(
    clock: Clock, steps: int, expect: int
) -> None:
    secret, _codes = set_up(a_sign_in(ada()), clock)
    clock.tick(10)

    step(halfway(ada()), clock.code(secret, steps=steps), expect=expect)


def test_a_recovery_code_signs_in_once_and_is_told_by_mail(clock: Clock) -> None:
    person = ada()
    person.email = "ada@example.org"
    person.save()
    _secret, codes = set_up(a_sign_in(ada()), clock)
    assert len(codes) == 10

    step(halfway(ada()), codes[3])
    step(halfway(ada()), codes[3], expect=422)

    assert second_factor.codes_left(ada()) == 9
    assert "recovery code" in Outgoing.objects.latest("pk").body


def test_second_steps_are_throttled_whoever_knows_the_password(clock: Clock) -> None:
    secret, _codes = set_up(a_sign_in(ada()), clock)
    clock.tick()
    browser = halfway(ada())
    for _ in range(MOST):
        step(browser, "000 000", expect=422)

    refused = step(browser, clock.code(secret), expect=422)

    assert "too many wrong tries" in faults(refused)[0]
    assert not is_in(browser)


def test_a_stranger_with_the_password_does_not_use_up_the_steps_of_a_known_device(
    clock: Clock,
) -> None:
    browser = a_sign_in(ada())
    secret, _codes = set_up(browser, clock)
    clock.tick()
    send(browser, "sign-out")
    stranger = halfway(ada())
    for _ in range(MOST):
        step(stranger, "000 000", expect=422)
    assert "too many" in faults(step(stranger, clock.code(secret), expect=422))[0]

    send(browser, "sign-in", username="ada", password=PASSWORD)
    step(browser, clock.code(secret))

    assert is_in(browser)


def test_halfway_in_does_not_outlast_the_password_or_ten_minutes(clock: Clock) -> None:
    secret, _codes = set_up(a_sign_in(ada()), clock)
    clock.tick()
    late, changed = halfway(ada()), halfway(ada())
    session = late.session
    half = session["half"]
    session["half"] = {
        **half,
        "at": half["at"].replace("20", "19", 1),
    }
    session.save()

    assert step(late, clock.code(secret)).headers["Location"] == reverse("sign-in")
    person = ada()
    person.set_password("another long password now")
    person.save()
    assert step(changed, clock.code(secret)).headers["Location"] == reverse("sign-in")
    assert not is_in(late)
    assert not is_in(changed)


def test_nobody_halfway_in_is_sent_to_sign_in() -> None:
    assert Browser().get(reverse("second-step")).headers["Location"] == reverse(
        "sign-in"
    )
    response = Browser().post(reverse("second-step"), {"code": "123456"})
    assert response.headers["Location"] == reverse("sign-in")


def test_nobody_is_led_away_after_the_second_step(clock: Clock) -> None:
    secret, _codes = set_up(a_sign_in(ada()), clock)
    clock.tick()
    browser = Browser()
    send(browser, "sign-in", username="ada", password=PASSWORD,
         next="https://elsewhere.example/")  # fmt: skip

    assert step(browser, clock.code(secret)).headers["Location"] == reverse("today")


def test_a_wrong_code_sets_nothing_up_and_the_secret_stays(clock: Clock) -> None:
    browser = a_sign_in(ada())
    before = text_of(browser, "add-app")

    refused = send(browser, "add-app", code="000000", expect=422)

    secret = re.compile(r'<span class="len">([A-Z2-7 ]+)</span>')
    assert secret.findall(before) == secret.findall(refused.content.decode())
    assert "not the code the app shows" in " ".join(faults(refused))
    assert Authenticator.objects.count() == 0


def test_adding_a_factor_ends_other_sign_ins_and_is_told(clock: Clock) -> None:
    person = ada()
    person.email = "ada@example.org"
    person.save()
    here, there = a_sign_in(ada()), a_sign_in(ada())

    set_up(here, clock)

    assert (is_in(here), is_in(there)) == (True, False)
    assert "was added" in Outgoing.objects.get().body
    assert AuditEntry.objects.filter(action="add second factor").count() == 1


def test_another_app_takes_the_place_of_the_first(clock: Clock) -> None:
    browser = a_sign_in(ada())
    first, _codes = set_up(browser, clock)
    clock.tick()
    page = text_of(browser, "add-app")
    found = re.search(r'<span class="len">([A-Z2-7 ]+)</span>', page)
    assert found
    second = found[1].replace(" ", "")
    send(browser, "add-app", code=clock.code(second))
    clock.tick()

    assert second != first
    step(halfway(ada()), clock.code(first), expect=422)
    step(halfway(ada()), clock.code(second))
    assert second_factor.codes_left(ada()) == 10


def test_with_the_last_factor_the_recovery_codes_go(clock: Clock) -> None:
    browser = a_sign_in(ada())
    set_up(browser, clock)

    send(browser, "remove-factor", Authenticator.objects.get(type="totp").pk)

    assert Authenticator.objects.count() == 0
    assert is_in(a_sign_in(ada()))


def test_nobody_removes_the_factor_of_another(clock: Clock) -> None:
    set_up(a_sign_in(ada()), clock)
    row = Authenticator.objects.get(type="totp")

    send(a_sign_in(ben()), "remove-factor", row.pk)

    assert Authenticator.objects.filter(pk=row.pk).exists()


def test_new_recovery_codes_void_the_old_ones(clock: Clock) -> None:
    browser = a_sign_in(ada())
    send(browser, "new-codes")
    assert Authenticator.objects.count() == 0
    _secret, old = set_up(browser, clock)

    shown = send(browser, "new-codes", expect=200).content.decode()

    new = re.findall(r'<span class="len">([\d ]+)</span>', shown)
    assert len(set(new) | set(old)) == 20
    step(halfway(ada()), old[0], expect=422)
    step(halfway(ada()), new[0])


def test_no_secret_stands_in_the_database_as_it_is(clock: Clock) -> None:
    secret, codes = set_up(a_sign_in(ada()), clock)

    kept = json.dumps(list(Authenticator.objects.values_list("data", flat=True)))
    assert secret not in kept
    assert not any(code.replace(" ", "") in kept for code in codes)


def test_under_another_signing_key_no_code_fits(clock: Clock, settings: Any) -> None:
    secret, _codes = set_up(a_sign_in(ada()), clock)
    clock.tick()
    row = Authenticator.objects.get(type="totp")
    settings.SECRET_KEY = "another key " * 5

    assert Adapter().decrypt(row.data["secret"]) != secret
    step(halfway(ada()), clock.code(secret), expect=422)


def test_the_server_lets_in_who_lost_phone_and_codes(clock: Clock) -> None:
    set_up(a_sign_in(ada()), clock)

    call_command("let_in", "ada", without_second_factor=True, verbosity=0)

    assert is_in(a_sign_in(ada()))


def test_where_it_is_off_nothing_asks_for_it_and_nothing_offers_it(
    clock: Clock, settings: Any
) -> None:
    set_up(a_sign_in(ada()), clock)
    settings.SECOND_FACTOR = "off"

    browser = a_sign_in(ada())

    assert is_in(browser)
    assert "Second step" not in text_of(browser, "own-sign-in")
    for name in ("add-app", "add-passkey"):
        assert browser.get(reverse(name)).status_code == 404


def test_where_it_is_required_nothing_else_answers_before(
    clock: Clock, settings: Any
) -> None:
    settings.SECOND_FACTOR = "required"
    browser = a_sign_in(ada())
    asked = dict(addresses())
    assert len(asked) > 60

    for name, address in asked.items():
        if name in OPEN:
            continue
        for ask in (browser.get, browser.post):
            response = ask(address)
            assert response.status_code == 302, name
            assert response.headers["Location"] == reverse("add-app"), name
    for name in ("prove", "add-app", "add-passkey"):
        assert browser.get(reverse(name)).status_code == 200, name

    set_up(browser, clock)
    assert is_in(browser)


SAMPLES = {
    "int": 1,
    "slug": "x",
    "str": "x",
    "uuid": "00000000-0000-4000-8000-000000000000",
    "path": "x",
}


def addresses(resolver: URLResolver | None = None) -> Iterator[tuple[str, str]]:
    """Give every address that asks who is there, filled in with anything."""
    for one in (resolver or get_resolver()).url_patterns:
        if isinstance(one, URLResolver):
            yield from addresses(one)
        elif getattr(one.callback, "login_required", True):
            kinds = re.findall(r"<(?:(\w+):)?\w+>", str(one.pattern))
            args = [SAMPLES[kind or "str"] for kind in kinds]
            yield str(one.name), reverse(str(one.name), args=args)


def test_a_sign_in_from_before_it_was_required_shows_the_factor_first(
    clock: Clock, settings: Any
) -> None:
    set_up(a_sign_in(ada()), clock)
    settings.SECOND_FACTOR = "off"
    browser = a_sign_in(ada())
    settings.SECOND_FACTOR = "required"

    assert not is_in(browser)


def test_the_last_factor_stays_where_one_is_required(
    clock: Clock, settings: Any
) -> None:
    settings.SECOND_FACTOR = "required"
    browser = a_sign_in(ada())
    set_up(browser, clock)

    send(browser, "remove-factor", Authenticator.objects.get(type="totp").pk)

    assert "Here everybody has a second factor" in text_of(browser, "own-sign-in")
    assert Authenticator.objects.filter(type="totp").exists()


def test_the_square_is_drawn_without_style_and_without_a_request() -> None:
    browser = signed_in(ada())

    page = text_of(browser, "add-app")

    drawn = page[page.index('<svg class="scanned"') :].partition("</svg>")[0]
    assert "style" not in drawn
    assert "http" not in drawn
    assert "otpauth://totp/ada?secret=" in html.unescape(page)
    assert "issuer=Fennick%20and%20Osei" in html.unescape(page)


def test_a_square_says_what_it_is_and_keeps_its_margin() -> None:
    drawn = square_code("otpauth://totp/x", label='For "the" app')

    assert 'aria-label="For &quot;the&quot; app"' in drawn
    size = int(re.search(r'viewBox="0 0 (\d+)', drawn)[1])  # type: ignore[index]
    places = [int(x) for x in re.findall(r"M(\d+) \d+h1v1h-1z", drawn)]
    assert (min(places), max(places)) == (4, size - 5)


@pytest.mark.parametrize(
    "answer", ["", "x", "{}", "[]", "null", '{"id": 1}', '{"response": {}}']
)
def test_what_no_passkey_answered_signs_nobody_in(clock: Clock, answer: str) -> None:
    set_up(a_sign_in(ada()), clock)
    browser = halfway(ada())

    send(browser, "second-step", passkey=answer, expect=422)

    assert not is_in(browser)


@pytest.mark.parametrize(
    "answer", ["", "x", "{}", "[]", "null", '{"id": 1}', '{"response": {}}']
)
def test_what_no_device_made_is_no_passkey(answer: str) -> None:
    browser = a_sign_in(ada())
    browser.get(reverse("add-passkey"))

    response = send(browser, "add-passkey", name="Van", passkey=answer, expect=422)

    assert "did not make a passkey" in " ".join(faults(response))
    assert 'value="Van"' in response.content.decode()
    assert Authenticator.objects.count() == 0
