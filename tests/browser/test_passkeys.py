"""A passkey made, used at sign-in and asked again, with a made-up device."""

from __future__ import annotations

import re
from datetime import timedelta
from typing import Any

import pytest
from allauth.mfa.models import Authenticator
from django.contrib.sessions.backends.db import SessionStore
from django.core.management import call_command
from django.utils import timezone
from playwright.sync_api import Browser, Page

from materials.models import Person, SignIn
from tests.service.office import PASSWORD, a_business, ada

PHONE = {"width": 390, "height": 844}

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture(autouse=True)
def owner(settings: Any) -> Person:
    settings.SECOND_FACTOR = "offered"
    call_command("prepare_fonts", verbosity=0)
    a_business()
    person = ada()
    person.set_password(PASSWORD)
    person.save()
    return person


class Device:
    """One page, and a device of DevTools that makes and uses passkeys unasked."""

    def __init__(self, browser: Browser, base: str) -> None:
        self.base = base
        self.context = browser.new_context(viewport={**PHONE})  # type: ignore[typeddict-item]
        self.page: Page = self.context.new_page()
        self.page.set_default_timeout(20_000)
        self.errors: list[str] = []
        self.page.on(
            "console",
            lambda said: (
                self.errors.append(said.text) if said.type == "error" else None
            ),
        )
        self.page.on("pageerror", lambda fault: self.errors.append(str(fault)))
        self.tools = self.context.new_cdp_session(self.page)
        self.tools.send("WebAuthn.enable")
        options = {
            "protocol": "ctap2",
            "transport": "internal",
            "hasUserVerification": True,
            "isUserVerified": True,
            "automaticPresenceSimulation": True,
        }
        made = self.tools.send("WebAuthn.addVirtualAuthenticator", {"options": options})
        self.key_holder = made["authenticatorId"]

    def go(self, path: str) -> None:
        self.page.goto(f"{self.base}{path}")

    def sign_in(self) -> None:
        self.go("/sign-in/")
        self.page.fill("[name=username]", "ada")
        self.page.fill("[name=password]", PASSWORD)
        self.page.press("[name=password]", "Enter")
        self.page.wait_for_url(re.compile(r"/(sign-in/second/)?$"))

    def press(self, word: str) -> None:
        self.page.get_by_role("button", name=word, exact=True).click()

    def make_a_passkey(self, name: str) -> None:
        self.go("/your-sign-in/passkey/")
        self.page.fill("[name=name]", name)
        self.press("Make a passkey")
        self.page.wait_for_selector(".codes")

    def forget_passkeys(self) -> None:
        self.tools.send(
            "WebAuthn.clearCredentials", {"authenticatorId": self.key_holder}
        )


def test_a_passkey_is_made_and_signs_in_and_proves_again(
    browser: Browser, live_server: Any
) -> None:
    device = Device(browser, live_server.url)
    device.sign_in()
    device.make_a_passkey("Van phone")

    assert len(device.page.locator(".codes li").all()) == 10
    row = Authenticator.objects.get(type="webauthn")
    assert (row.wrap().name, row.last_used_at) == ("Van phone", None)

    device.context.clear_cookies()
    device.sign_in()
    assert device.page.url.endswith("/sign-in/second/")
    device.press("Use a passkey")
    device.page.wait_for_url(re.compile(r":\d+/$"))
    row.refresh_from_db()
    assert row.last_used_at is not None

    session = SignIn.objects.latest("pk").session_key
    _an_hour_later(session)
    device.go("/your-sign-in/app/")
    assert "/sign-in/again/" in device.page.url
    device.press("Use a passkey")
    device.page.wait_for_url(re.compile(r"/your-sign-in/app/$"))
    assert device.errors == []
    device.context.close()


def _an_hour_later(session_key: str) -> None:
    store = SessionStore(session_key)
    store["proved"] = (timezone.now() - timedelta(hours=1)).isoformat()
    store.save()


def test_a_device_without_the_passkey_does_not_come_in(
    browser: Browser, live_server: Any
) -> None:
    device = Device(browser, live_server.url)
    device.sign_in()
    device.make_a_passkey("Van phone")
    device.context.clear_cookies()
    device.forget_passkeys()

    device.sign_in()
    device.press("Use a passkey")

    device.page.wait_for_selector("[data-passkey-failed]:visible")
    device.go("/your-sign-in/")
    assert "/sign-in/" in device.page.url
    device.context.close()


def test_an_answer_is_taken_once(browser: Browser, live_server: Any) -> None:
    device = Device(browser, live_server.url)
    device.sign_in()
    device.make_a_passkey("Van phone")
    device.context.clear_cookies()
    device.sign_in()
    sent: list[str] = []
    device.page.on(
        "request",
        lambda one: sent.append(one.post_data or "") if one.method == "POST" else None,
    )
    device.press("Use a passkey")
    device.page.wait_for_url(re.compile(r":\d+/$"))
    answer = re.search(r"passkey=([^&]+)", sent[-1])
    assert answer

    device.context.clear_cookies()
    device.sign_in()
    device.page.evaluate(
        """said => {
          const form = document.querySelector("#second-step");
          form.querySelector("[name=passkey]").value = decodeURIComponent(said);
          form.submit();
        }""",
        answer[1].replace("+", " "),
    )
    device.page.wait_for_selector("[data-bad], .wrong:visible")

    assert device.page.url.endswith("/sign-in/second/")
    device.context.close()
