"""The page of people on a phone: every row fits, nothing is swiped sideways."""

from __future__ import annotations

from typing import Any

import pytest
from django.conf import settings
from django.urls import reverse
from playwright.sync_api import Browser

from materials.services.people import end_access
from tests.service.office import a_business, a_person, ada, ben, signed_in

pytestmark = pytest.mark.django_db(transaction=True)

WIDTHS = (320, 390, 768)
WIDER = """() => [...document.querySelectorAll("main, main *")]
    .filter((one) => !one.closest(".vh, thead"))
    .filter((one) => one.scrollWidth > one.clientWidth + 1 && one.clientWidth
        && getComputedStyle(one).overflowX !== "visible"
        || one.getBoundingClientRect().right > window.innerWidth + 1)
    .map((one) => one.outerHTML.slice(0, 80))"""
"""What is wider than its box and scrolls in it, or leaves the screen on the right."""


@pytest.mark.parametrize("width", WIDTHS)
def test_the_rows_fit_a_phone(browser: Browser, live_server: Any, width: int) -> None:
    a_business()
    a_person("bartholomew.featherstonehaugh", "office")
    end_access(person=ben(), by=ada())
    cookie = signed_in(ada()).cookies[settings.SESSION_COOKIE_NAME].value
    context = browser.new_context(viewport={"width": width, "height": 844})
    context.add_cookies(
        [
            {
                "name": settings.SESSION_COOKIE_NAME,
                "value": cookie,
                "url": live_server.url,
            }
        ]
    )
    page = context.new_page()

    page.goto(f"{live_server.url}{reverse('people')}")

    assert page.evaluate(WIDER) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert page.locator("tbody tr").count() == 3
    for word in ("Change", "Let in again", "End access"):
        for button in page.get_by_role("button", name=word, exact=True).all():
            assert button.is_visible()
    context.close()
