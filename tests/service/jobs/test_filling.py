"""A demo filled to size: its books hold, its lists ask no more; no other is filled."""

from __future__ import annotations

from io import StringIO
from pathlib import Path
from typing import Any

import pytest
from django.core.management import CommandError, call_command
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from jobs.models import Job, PurchaseLine, Usage
from jobs.queries.all_books import check_books
from materials.models import Business, Person, Price
from tests.service.jobs.booked import a_business
from tests.service.office import signed_in

pytestmark = pytest.mark.django_db

LISTS = ("today", "jobs", "quotes", "visits", "invoices", "price-list", "clients")


def asked(browser: Any) -> dict[str, int]:
    """Return how many queries each list page takes."""
    found = {}
    for name in LISTS:
        browser.get(reverse(name))
        with CaptureQueriesContext(connection) as seen:
            assert browser.get(reverse(name)).status_code == 200
        found[name] = len(seen)
    return found


def test_a_filled_demo_holds_and_its_lists_ask_no_more(
    settings: Any, tmp_path: Path
) -> None:
    settings.MEDIA_ROOT, settings.VAR_DIR = tmp_path / "media", tmp_path
    call_command("fill_demo", jobs=12, prices=400, stdout=StringIO())
    browser = signed_in(Person.objects.get(username="owner"))
    few = asked(browser)

    call_command("fill_demo", jobs=40, prices=500, stdout=StringIO())

    assert asked(browser) == few
    assert [one.says for one in check_books().findings] == []
    assert Job.objects.filter(state="closed").count() == 52
    assert PurchaseLine.objects.count() >= 52 * 25
    assert Usage.objects.count() >= 52 * 25
    assert Price.objects.count() >= 500


def test_a_business_that_is_no_demo_is_not_filled() -> None:
    a_business()

    with pytest.raises(CommandError, match="no demo"):
        call_command("fill_demo", jobs=1)

    assert Business.objects.count() == 1
    assert Job.objects.count() == 0
