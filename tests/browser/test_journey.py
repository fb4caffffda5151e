"""One real job through pages only: from the tape to a paid invoice.

After signing in nothing is written but by pages. The same figures must stand on the
price page, in `price_visit` of the visit's own file, on the client's page, in the
paper's text and in the invoices.
"""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from django.core.management import call_command
from django.utils import timezone
from playwright.sync_api import Browser, Page

from materials.models import Person
from tests.source_files import ROOT

PASSWORD = "a-long-enough-sign-in-1"
LAPTOP = {"width": 1280, "height": 900}
PHONE = {"width": 390, "height": 844}

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture(autouse=True)
def owner() -> Person:
    call_command("prepare_fonts", verbosity=0)
    person = Person(username="owner", first_name="Ada", role=Person.Role.OWNER)
    person.set_password(PASSWORD)
    person.save()
    return person


class Walk:
    """A person walking through pages; every console error is kept."""

    def __init__(self, browser: Browser, base: str, size: dict[str, int]) -> None:
        self.base = base
        self.context = browser.new_context(
            viewport={"width": size["width"], "height": size["height"]}
        )
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

    def close(self) -> None:
        self.context.close()

    def sign_in(self) -> None:
        self.page.goto(f"{self.base}/sign-in/")
        self.page.fill("[name=username]", "owner")
        self.page.fill("[name=password]", PASSWORD)
        self.page.press("[name=password]", "Enter")
        self.page.wait_for_url(re.compile(r"/(business/)?$"))

    def fill(self, **fields: str) -> None:
        for name, value in fields.items():
            field = self.page.locator(f"[name={name}]:visible").first
            tag = field.evaluate("one => one.tagName")
            field.select_option(value) if tag == "SELECT" else field.fill(value)

    def press(self, word: str) -> None:
        whole = re.compile(rf"^\s*{re.escape(word)}\s*$")
        self.page.locator(
            "button:visible:not(.vh), a.do:visible", has_text=whole
        ).first.click()
        self.page.wait_for_load_state()

    def no_sideways_scroll(self) -> None:
        wide = self.page.evaluate("document.documentElement.scrollWidth")
        assert wide <= self.page.viewport_size["width"]  # type: ignore[index]


def a_business(walk: Walk) -> None:
    walk.fill(
        name="Fennick and Osei", country="GB", currency="GBP", system="metric",
        sales_tax="20", purchase_tax="20", setter_wage="31", helper_wage="19.40",
        overhead_yearly="12040", productive_hours="1400", minimum_charge="180",
    )  # fmt: skip
    walk.press("Save")
    assert "Good day" in walk.page.content()


def a_visit(walk: Walk, title: str) -> None:
    walk.page.goto(f"{walk.base}/visits/new/")
    walk.fill(
        client_name="Nuala Wexcombe", title=title, address="3 Sallow Court",
        built="2008",
    )  # fmt: skip
    walk.press("Save")


def take_build_up(walk: Walk, key: str) -> None:
    visit = walk.page.url
    walk.page.goto(f"{visit}build-ups/")
    walk.fill(template=key)
    walk.press("Take it")
    walk.press("Save")
    walk.page.goto(visit)


def measure_both(walk: Walk) -> None:
    walk.fill(name="Shower recess")
    walk.press("Add the space")
    walk.fill(name="Back wall", role="wall", width="1310", height="2360",
              build_up="wet-wall", exposure="wet", opening_0_kind="niche",
              opening_0_left="800", opening_0_bottom="1090", opening_0_width="290",
              opening_0_height="385", opening_0_depth="90")  # fmt: skip
    walk.page.locator("#drawn svg", has_text="1310").first.wait_for()
    walk.press("Save, next surface")
    walk.fill(name="Floor", role="recess", width="1310", height="970",
              build_up="pan-floor", exposure="wet", drain="linear", drain_side="3",
              drain_from="255", drain_length="800", slope_min="1/80")  # fmt: skip
    walk.press("Save")


def plain(text: str) -> str:
    return re.sub(r"[^\d.]", "", text)


def strip_figure(page: Page, word: str) -> str:
    """Return the figure of a dot-leader line or total, as plain digits."""
    row = page.locator("li", has_text=word).first
    return plain(row.locator(".v").first.inner_text())


def priced_by_command(file: Path, out: Path, on: str) -> dict[str, str]:
    done = subprocess.run(
        [
            sys.executable,
            "manage.py",
            "price_visit",
            str(file),
            "--on",
            on,
            "--json",
            str(out),
        ],
        cwd=ROOT,
        env={**os.environ, "DATABASE_URL": "sqlite:////nonexistent/none.sqlite3"},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    option = json.loads(out.read_text())["quote"]["options"][0]["totals"]
    return {name: plain(str(option[name])) for name in ("net", "tax", "gross")}


def offered(walk: Walk) -> str:
    walk.press("Make the quote")
    walk.press("Offer it")
    walk.press("Private link")
    return walk.page.locator("#private-address").inner_text()


def accepted_by_client(browser: Browser, base: str, address: str, gross: str) -> None:
    client = Walk(browser, base, PHONE)
    client.page.goto(address)
    assert gross in plain(client.page.locator("li.tot").first.inner_text())
    client.no_sideways_scroll()
    client.fill(typed_name="Nuala Wexcombe")
    client.page.check("[name=agree]")
    client.page.locator(".accept button.main").dblclick()
    client.page.get_by_text("You have accepted this quote").wait_for()
    # Somebody goes back to the form that is still on the phone and presses again.
    client.page.go_back()
    again = client.page.locator(".accept button.main")
    if again.count():
        client.fill(typed_name="Nuala Wexcombe")
        client.page.check("[name=agree]")
        again.click()
    client.page.get_by_text("You have accepted this quote").wait_for()
    assert client.errors == []
    client.close()


def pay(walk: Walk, *shares: str) -> Decimal:
    """Issue the draft on the page and pay it in shares; return its sum due."""
    walk.press("Issue it")
    due = Decimal(strip_figure(walk.page, "To pay"))
    paid = Decimal(0)
    for share in shares:
        part = (due * Decimal(share)).quantize(Decimal("0.01"))
        amount = due - paid if share == shares[-1] else part
        walk.fill(amount=str(amount))
        walk.press("Record the payment")
        paid += amount
    assert strip_figure(walk.page, "Still open") == "0.00"
    return due


def record_purchase_and_day(walk: Walk, job: str) -> None:
    walk.page.goto(f"{job}purchase/")
    select = walk.page.locator("select[name$=budget_line]:visible").first
    pan = select.locator("option", has_text="Sloped pan").first
    select.select_option(value=pan.get_attribute("value"))
    walk.page.locator("input[name$=packs]:visible").first.fill("1")
    walk.page.locator("input[name$=price_each]:visible").first.fill("300")
    walk.page.locator(".do.main:visible").first.click()
    walk.page.wait_for_load_state()
    assert "300" in walk.page.content()
    walk.page.goto(f"{job}day/")
    walk.page.locator("select[name$=budget_line]:visible").first.select_option(index=1)
    walk.page.locator("input[name$=hours]:visible").first.fill("2")
    walk.page.locator(".do.main:visible").first.click()
    walk.page.wait_for_load_state()


def paper_text(walk: Walk, address: str) -> str:
    answer = walk.page.request.get(address)
    assert answer.ok
    done = subprocess.run(
        ["pdftotext", "-layout", "-", "-"],
        input=answer.body(),
        capture_output=True,
        check=True,
    )
    return done.stdout.decode().replace(",", "")


def test_a_job_goes_from_the_tape_to_a_paid_invoice(
    browser: Browser, live_server: Any, tmp_path: Path
) -> None:
    walk = Walk(browser, live_server.url, LAPTOP)
    walk.sign_in()
    a_business(walk)
    a_visit(walk, "A new shower at Sallow Court")
    for key in ("wet-wall", "pan-floor"):
        take_build_up(walk, key)
    measure_both(walk)
    visit = walk.page.url
    walk.press("What must be bought")
    assert "Sloped pan" in walk.page.content()
    walk.press("Price it")
    gross = strip_figure(walk.page, "To pay")
    net = plain(walk.page.locator("tr.sum td").last.inner_text())
    tax = strip_figure(walk.page, "Tax")

    file = tmp_path / "visit.json"
    file.write_bytes(walk.page.request.get(f"{visit}file/").body())
    today = timezone.localdate().isoformat()
    totals = priced_by_command(file, tmp_path / "out.json", today)
    assert totals == {"net": net, "tax": tax, "gross": gross}

    address = offered(walk)
    quote = walk.page.url
    text = paper_text(walk, f"{quote}A.pdf")
    for figure in totals.values():
        assert figure in text
    accepted_by_client(browser, live_server.url, address, gross)
    walk.page.goto(quote)
    walk.press("To the job")
    job = walk.page.url
    again = Walk(browser, live_server.url, PHONE)
    again.page.goto(address)
    assert "you have accepted this quote" in again.page.content()
    walk.page.goto(f"{live_server.url}/jobs/")
    assert walk.page.locator("tbody tr").count() == 1

    record_purchase_and_day(walk, job)
    walk.page.goto(f"{job}cost/")
    assert "thrown away" in walk.page.content().lower()

    walk.page.goto(f"{job}invoices/deposit/")
    walk.fill(share="30")
    walk.page.locator(".do.main:visible").first.click()
    walk.page.wait_for_load_state()
    deposit = pay(walk, "0.4", "0.6")
    walk.page.goto(f"{job}invoices/")
    walk.press("Final account")
    rest = pay(walk, "1")
    assert deposit + rest == Decimal(gross)
    assert str(rest) in paper_text(walk, f"{walk.page.url}paper.pdf")

    walk.page.goto(live_server.url)
    assert "Nothing is open." in walk.page.content()
    assert walk.errors == []
    again.close()
    walk.close()


def test_a_surface_is_measured_with_the_keyboard_alone(
    browser: Browser, live_server: Any
) -> None:
    walk = Walk(browser, live_server.url, LAPTOP)
    walk.sign_in()
    a_business(walk)
    a_visit(walk, "Kitchen wall")
    walk.fill(name="Kitchen")
    walk.page.press("[name=name]:visible", "Enter")
    walk.page.wait_for_url(re.compile(r"surfaces?/"))
    typed = {"name": "Wall", "width": "2410", "height": "620"}
    keys = walk.page.keyboard

    walk.page.locator("[name=name]:visible").first.focus()
    for _step in range(60):
        name = walk.page.evaluate("document.activeElement.name || ''")
        if name in typed:
            # Seen where the keyboard is: the ring is drawn, the field in the window.
            style = "getComputedStyle(document.activeElement).outlineStyle"
            assert walk.page.evaluate(style) != "none"
            keys.press("Control+a")
            keys.type(typed.pop(name))
        if not typed:
            break
        keys.press("Tab")
    keys.press("Enter")

    walk.page.get_by_text("Wall is kept.").wait_for()
    assert "2410" in walk.page.content()
    assert walk.errors == []
    walk.close()


def test_a_phone_measures_without_scrolling_sideways(
    browser: Browser, live_server: Any
) -> None:
    walk = Walk(browser, live_server.url, PHONE)
    walk.sign_in()
    a_business(walk)
    a_visit(walk, "Kitchen wall")
    take_build_up(walk, "kitchen-wall")
    visit = walk.page.url
    walk.fill(name="Kitchen")
    walk.press("Add the space")
    walk.no_sideways_scroll()
    walk.fill(name="Wall", width="-3", height="620")
    walk.press("Save")
    assert walk.page.locator("[name=width]").input_value() == "-3"
    walk.fill(width="2410")
    walk.press("Save")
    for address in (visit, f"{visit}buy/", f"{visit}price/", f"{live_server.url}/"):
        walk.page.goto(address)
        walk.no_sideways_scroll()
    assert [said for said in walk.errors if "422" not in said] == []
    walk.close()
