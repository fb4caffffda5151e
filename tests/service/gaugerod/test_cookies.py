"""Cookies hold to this host over TLS, by name and by what is said with them."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from django.test import Client as Browser
from django.urls import reverse

from tests.service.office import PASSWORD, a_stocked_business, ada, new_key
from tests.source_files import ROOT

pytestmark = pytest.mark.django_db

NAMES = (
    "HTTPS", "SESSION_COOKIE_NAME", "SESSION_COOKIE_SECURE", "SESSION_COOKIE_PATH",
    "SESSION_COOKIE_DOMAIN", "CSRF_COOKIE_NAME", "CSRF_COOKIE_SECURE",
    "CSRF_COOKIE_PATH", "CSRF_COOKIE_DOMAIN", "MESSAGE_STORAGE",
)  # fmt: skip
ASKED = (
    "import json; from django.conf import settings; "
    f"print(json.dumps({{name: getattr(settings, name) for name in {NAMES}}}))"
)
KINDS = {"sessionid", "csrftoken", "messages", "known-device"}


def shipped(folder: Path, *, https: str) -> dict[str, Any]:
    """Return the settings as a process of its own reads them from the environment."""
    done = subprocess.run(
        [sys.executable, "-c", ASKED],
        cwd=ROOT,
        env={
            **os.environ,
            "DJANGO_SETTINGS_MODULE": "gaugerod.settings",
            "GAUGEROD_HTTPS": https,
            "GAUGEROD_VAR": str(folder),
        },
        capture_output=True,
        text=True,
        check=True,
    )
    found: dict[str, Any] = json.loads(done.stdout)
    return found


def cookies_of_a_day() -> dict[str, Any]:
    """Sign in, save something, sign out; return every cookie set, as last set."""
    a_stocked_business()
    person = ada()
    person.set_password(PASSWORD)
    person.save()
    browser = Browser(headers={"x-forwarded-proto": "https"})
    found: dict[str, Any] = {}

    def note(answer: Any) -> Any:
        found.update(answer.cookies)
        return answer

    note(browser.get(reverse("sign-in"), secure=True))
    typed = {"username": "ada", "password": PASSWORD, "keep": "on"}
    answer = note(browser.post(reverse("sign-in"), typed, secure=True))
    assert answer.status_code == 302
    saved = {"email": "ada@example.org", "request_key": new_key()}
    note(browser.post(reverse("own-address"), saved, secure=True))
    note(browser.post(reverse("sign-out"), secure=True))
    return found


def test_over_tls_every_cookie_holds_to_this_host(
    settings: Any, tmp_path: Path
) -> None:
    for name, value in shipped(tmp_path, https="true").items():
        setattr(settings, name, value)

    found = cookies_of_a_day()

    assert set(found) == {f"__Host-{kind}" for kind in KINDS}
    for name, cookie in found.items():
        assert (cookie["secure"], cookie["path"], cookie["domain"]) == (True, "/", "")
        assert cookie["samesite"] in ("Lax", "Strict"), name
        assert cookie["httponly"] or cookie["max-age"] == 0, name


def test_at_home_cookies_have_plain_names_that_a_browser_takes_without_tls(
    settings: Any, tmp_path: Path
) -> None:
    for name, value in shipped(tmp_path, https="false").items():
        setattr(settings, name, value)

    found = cookies_of_a_day()

    assert set(found) == KINDS
    assert not any(cookie["secure"] for cookie in found.values())


def test_a_session_under_the_plain_name_is_nobody_s_over_tls(
    settings: Any, tmp_path: Path
) -> None:
    """A neighbour under the same domain can set `sessionid`, and gets nowhere by it."""
    browser = Browser()
    browser.force_login(ada())
    planted = browser.cookies["sessionid"].value
    for name, value in shipped(tmp_path, https="true").items():
        setattr(settings, name, value)
    fresh = Browser()
    fresh.cookies["sessionid"] = planted

    answer = fresh.get(reverse("today"), secure=True)

    assert answer.status_code == 302
    assert answer.headers["Location"].startswith(reverse("sign-in"))
