"""What is typed wrongly gets a sentence on its field, and nothing typed is lost."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client as Browser
from django.urls import reverse

from jobs.models import DaySheet, Invoice, Payment, Purchase, Usage
from tests.service.jobs.booked import a_job, ada, ben, line_of, new_key

pytestmark = pytest.mark.django_db

NO_AMOUNTS = [
    "-5",
    "NaN",
    "Infinity",
    "1e5",
    "12,50",
    "١٢",
    "1" * 40,
    "12.345",
    "£12",
    "0x10",
    "ten",
]
NO_COUNTS = ["0", "-1", "1.5", "NaN", "٣", "9" * 40, "100001", "1e3"]
NO_HOURS = ["0", "-2", "25", "NaN", "٧", "9" * 40, "7:30"]
NO_SHARES = ["0", "-10", "101", "NaN", "٣٠", "9" * 40, "a third"]


@pytest.fixture(autouse=True)
def _static(settings: Any, tmp_path: Any) -> None:
    settings.STATIC_ROOT = tmp_path


def sent(browser: Browser, name: str, *args: object, **data: str) -> str:
    """Send a form that must be refused; return the page that comes back."""
    data.setdefault("request_key", new_key())
    response = browser.post(reverse(name, args=args), data)
    page = response.content.decode()
    assert response.status_code == 422
    assert data["request_key"] in page
    assert 'class="wrong"' in page or "caution" in page
    return page


def owner() -> Browser:
    browser = Browser()
    browser.force_login(ada())
    return browser


def shows(page: str, typed: str) -> bool:
    """Whether the page still shows what was typed, or as much as a field holds."""
    return f'value="{typed}' in page


@pytest.mark.parametrize("typed", NO_AMOUNTS)
def test_a_payment_that_is_no_amount(typed: str) -> None:
    job, browser = a_job(), owner()
    browser.post(reverse("ask-rest", args=[job.number]), {"request_key": new_key()})
    invoice = Invoice.objects.get()
    browser.post(
        reverse("issue-invoice", args=[invoice.uid]), {"request_key": new_key()}
    )

    page = sent(
        browser,
        "pay-invoice",
        invoice.uid,
        amount=typed,
        on="2026-06-02",
        way="cash",
        reference="till 4",
        request_key=f"{new_key()}-pay",
    )

    assert shows(page, typed)
    assert shows(page, "till 4")
    assert Payment.objects.count() == 0


@pytest.mark.parametrize("typed", ["0", "99999999999999"])
def test_a_payment_of_nothing_or_of_too_much(typed: str) -> None:
    job, browser = a_job(), owner()
    browser.post(reverse("ask-rest", args=[job.number]), {"request_key": new_key()})
    invoice = Invoice.objects.get()
    browser.post(
        reverse("issue-invoice", args=[invoice.uid]), {"request_key": new_key()}
    )

    page = sent(browser, "pay-invoice", invoice.uid, amount=typed, on="2026-06-02",
                way="cash", request_key=f"{new_key()}-pay")  # fmt: skip

    assert shows(page, typed)
    assert Payment.objects.count() == 0


@pytest.mark.parametrize("typed", NO_COUNTS)
def test_a_purchase_of_no_count_of_packs(typed: str) -> None:
    job = a_job()

    page = sent(
        owner(),
        "record-purchase",
        job.number,
        bought_on="2026-05-15",
        **{"line1-text": "Drill bit", "line1-packs": typed, "line1-price_each": "9"},
    )

    assert shows(page, typed)
    assert shows(page, "Drill bit")
    assert Purchase.objects.count() == 0


def test_a_purchase_that_costs_more_than_there_is() -> None:
    job = a_job()

    page = sent(
        owner(),
        "record-purchase",
        job.number,
        bought_on="2026-05-15",
        **{
            "line1-text": "Drill bit",
            "line1-packs": "99999",
            "line1-price_each": "99999999999",
        },
    )

    assert "too large" in page
    assert Purchase.objects.count() == 0


def test_a_purchase_without_a_line_or_a_word() -> None:
    job, browser = a_job(), owner()

    empty = sent(browser, "record-purchase", job.number, bought_on="2026-05-15")
    nameless = sent(
        browser,
        "record-purchase",
        job.number,
        bought_on="2026-05-15",
        **{"line1-packs": "1", "line1-price_each": "9"},
    )

    assert "required" in empty
    assert "write what was bought" in nameless
    assert Purchase.objects.count() == 0


@pytest.mark.parametrize("typed", NO_HOURS)
def test_hours_that_are_none(typed: str) -> None:
    job = a_job()

    page = sent(
        owner(),
        "record-day",
        job.number,
        worker=str(ben().pk),
        on="2026-05-18",
        **{"line1-text": "Sweep", "line1-hours": typed, "line1-role": "setter"},
    )

    assert shows(page, typed)
    assert DaySheet.objects.count() == 0


@pytest.mark.parametrize("typed", NO_SHARES)
def test_a_share_that_is_none(typed: str) -> None:
    job = a_job()

    page = sent(owner(), "ask-share", job.number, "deposit", share=typed, title="Half")

    assert shows(page, "Half")
    assert Invoice.objects.count() == 0


def test_a_length_and_a_value_that_make_no_offcut() -> None:
    job, browser = a_job(), owner()
    pan = str(line_of(job, "material:pan").pk)

    odd = sent(browser, "keep-offcut", job.number, line=pan, width="wide",
               height="4'", value="20", on="2026-05-19")  # fmt: skip
    none = sent(browser, "keep-offcut", job.number, line=pan, width="0",
                height="4'", value="20", on="2026-05-19")  # fmt: skip
    dear = sent(browser, "keep-offcut", job.number, line=pan, width="6",
                height="4'", value="268.01", on="2026-05-19")  # fmt: skip

    assert shows(odd, "wide")
    assert "above nothing" in none
    assert "268.00" in dear


@pytest.mark.parametrize("typed", ["0", "-1", "NaN", "٣", "9" * 40])
def test_a_quantity_used_that_is_none(typed: str) -> None:
    job = a_job()

    page = sent(
        owner(),
        "record-use",
        job.number,
        line=str(line_of(job, "material:tile").pk),
        how="used",
        quantity=typed,
        on="2026-05-19",
        note="north wall",
    )

    assert shows(page, "north wall")
    assert Usage.objects.count() == 0


def test_a_form_without_its_key_is_refused() -> None:
    job, browser = a_job(), owner()

    response = browser.post(
        reverse("ask-share", args=[job.number, "deposit"]), {"share": "30"}
    )

    assert response.status_code == 422
    assert "lost its key" in response.content.decode()
    assert Invoice.objects.count() == 0
