"""One language and one clock on every page: those of the business."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, tzinfo
from typing import Any

import pytest
from django.http import HttpRequest, HttpResponse
from django.template import engines
from django.test import Client as Browser
from django.test import RequestFactory
from django.urls import reverse
from django.utils import timezone, translation
from django.utils.dateformat import format as date_format

from gaugerod.language import speak_as_the_business, speaking_as, the_business
from jobs.models import Job
from materials.models import Business
from materials.presenters import core_words
from quotes.models import BuildUp, Space, Surface, Visit
from tests.british_words import british_words
from tests.service.jobs.booked import a_job
from tests.service.office import (
    WALL,
    a_space,
    a_visit,
    ada,
    send,
    signed_in,
    text_of,
)
from tests.service.remembered import remembered

pytestmark = pytest.mark.django_db

ENTRY = {
    "name": "Fennick and Osei", "paper": "a4", "tax_name": "Tax", "sales_tax": "20",
    "sales_tax_on": "everything",
    "purchase_tax": "20", "setter_wage": "31", "helper_wage": "19.40",
    "overhead_yearly": "12000", "productive_hours": "1130", "hours_per_day": "8",
    "method": "markup", "materials_rate": "20", "labour_rate": "20",
    "other_rate": "10", "contingency": "5", "deposit": "25", "holds_days": "30",
    "payment_days": "14",
}  # fmt: skip
HOME = {
    "GB": {"country": "GB", "currency": "GBP", "system": "metric"},
    "US": {"country": "US", "currency": "USD", "system": "imperial"},
}


def open_business(country: str) -> Browser:
    """Set the business up on its own page, as its owner does; return the browser."""
    remembered(
        f"opened on its page, {country}",
        lambda: send(signed_in(ada()), "business", **ENTRY, **HOME[country]),
    )
    return signed_in(ada())


def measured(browser: Browser) -> Visit:
    """Hold a visit with one space and a build-up from the starter list."""
    visit = a_visit(system=Business.objects.get().system)
    a_space(visit)
    key = BuildUp.objects.get(name__startswith="Dry floor").key
    send(browser, "build-ups", visit.uid, template=key)
    return visit


def words_of(page: str) -> str:
    """Return what a page says: its text and its labels, without markup and codes."""
    page = re.sub(r"\b[A-Z]{2}-[A-Z0-9-]+\b", " ", page)
    body = re.sub(r"<(script|style)\b.*?</\1>", " ", page, flags=re.S)
    said = re.findall(r'(?:aria-label|title|placeholder|alt)="([^"]*)"', body)
    return " ".join([re.sub(r"<[^>]*>", " ", body), *said])


def pages(browser: Browser) -> dict[str, str]:
    """Return what the pages of a measured visit and a booked job say."""
    visit = measured(browser)
    space = Space.objects.get()
    send(browser, "add-surface", space.uid, **{**WALL, "role": "kerb"})
    surface = Surface.objects.get()
    job = a_job()
    key = visit.build_ups.get().key
    asked: dict[str, tuple[object, ...]] = {
        "today": (),
        "business": (),
        "clients": (),
        "people": (),
        "visits": (),
        "visit": (visit.uid,),
        "change-visit": (visit.uid,),
        "add-surface": (space.uid,),
        "surface": (surface.uid,),
        "build-ups": (visit.uid,),
        "build-up": (visit.uid, key),
        "price-list": (),
        "suppliers": (),
        "quotes": (),
        "jobs": (),
        "job": (job.number,),
        "job-cost": (job.number,),
        "job-invoices": (job.number,),
        "record-day": (job.number,),
        "invoices": (),
    }
    said = {
        name: words_of(text_of(browser, name, *given)) for name, given in asked.items()
    }
    listed = [said["price-list"]]
    for number in ("2", "3"):
        more = browser.get(reverse("price-list"), {"page": number}).content.decode()
        listed.append(words_of(more))
    return {**said, "price-list": " ".join(listed)}


def test_an_american_business_reads_no_british_word() -> None:
    said = pages(open_business("US"))

    mixed = {
        name: found for name, text in said.items() if (found := british_words(text))
    }
    assert mixed == {}
    assert "curb" in said["add-surface"]
    assert "backsplash" in said["add-surface"]
    assert "curb" in said["visit"]
    assert "Base tile" in said["price-list"]
    assert "light gray" in said["price-list"]
    assert "leveler" in said["build-up"]
    assert "Dry floor on a leveled base" in said["build-ups"]
    assert "time sheet" in said["job"]
    assert "Suppliers" in said["price-list"]


def test_a_british_business_reads_british_words() -> None:
    said = pages(open_business("GB"))

    assert "kerb" in said["add-surface"]
    assert "splashback" in said["add-surface"]
    assert "Skirting tile" in said["price-list"]
    assert "light grey" in said["price-list"]
    assert "leveller" in said["build-up"]
    assert "day sheet" in said["job"]
    american = re.compile(r"\b(curb|backsplash|leveler|gray|labor|time sheet)\b", re.I)
    assert {name: american.findall(text) for name, text in said.items()} == {
        name: [] for name in said
    }


@pytest.mark.parametrize(("country", "language"), [("GB", "en-gb"), ("US", "en-us")])
def test_a_page_says_which_language_it_speaks(country: str, language: str) -> None:
    browser = open_business(country)

    assert f'<html lang="{language}"' in text_of(browser, "visits")


def test_a_snag_is_on_the_punch_list_of_an_american_job() -> None:
    browser = open_business("US")
    job = a_job()
    Job.objects.filter(pk=job.pk).update(state=Job.State.SNAGGING)

    assert "punch list" in words_of(text_of(browser, "jobs"))


def test_a_page_that_is_not_there_speaks_the_same_language() -> None:
    browser = open_business("US")

    response = browser.get("/no-such-page/")

    assert response.status_code == 404
    assert '<html lang="en-us"' in response.content.decode()


def heard(business: Business | None) -> dict[str, Any]:
    """Return language, zone and page context inside one request."""
    noted: dict[str, Any] = {}

    def view(request: HttpRequest) -> HttpResponse:
        noted["language"] = translation.get_language()
        noted["zone"] = timezone.get_current_timezone_name()
        noted["context"] = the_business(request)
        return HttpResponse()

    if business is not None:
        business.save()
    speak_as_the_business(view)(RequestFactory().get("/"))
    return noted


def a_row(**changes: str) -> Business:
    row = {
        "name": "Fennick and Osei", "country": "US", "currency": "USD",
        "system": "imperial", "language": "en-us", "time_zone": "America/New_York",
    }  # fmt: skip
    return Business(pk=1, **{**row, **changes})


def test_a_request_has_the_business_its_language_and_its_zone() -> None:
    noted = heard(a_row())

    assert noted["language"] == "en-us"
    assert noted["zone"] == "America/New_York"
    assert noted["context"] == {"business": Business.objects.get()}


def test_before_the_business_is_set_up_the_source_language_is_spoken() -> None:
    noted = heard(None)

    assert noted["language"] == "en-gb"
    assert noted["zone"] == timezone.get_default_timezone_name()
    assert noted["context"] == {}


def test_after_a_request_language_and_zone_are_as_before() -> None:
    before = translation.get_language(), timezone.get_current_timezone_name()

    heard(a_row())

    assert (translation.get_language(), timezone.get_current_timezone_name()) == before


def test_they_are_as_before_even_when_the_page_breaks() -> None:
    before = translation.get_language(), timezone.get_current_timezone_name()
    a_row().save()

    def breaks(request: HttpRequest) -> HttpResponse:
        raise RuntimeError("the page breaks")

    with pytest.raises(RuntimeError, match="the page breaks"):
        speak_as_the_business(breaks)(RequestFactory().get("/"))

    assert (translation.get_language(), timezone.get_current_timezone_name()) == before


@pytest.mark.parametrize("name", ["Orrin/Quay", "", "../zones", "/etc/localtime"])
def test_an_unknown_zone_closes_no_page(
    name: str, caplog: pytest.LogCaptureFixture
) -> None:
    noted = heard(a_row(time_zone=name))

    assert noted["zone"] == timezone.get_default_timezone_name()
    assert "is no time zone" in caplog.text


def test_a_language_without_words_is_the_source_language() -> None:
    assert heard(a_row(language="fr"))["language"] == "en-gb"


def test_the_day_is_the_business_s_own() -> None:
    late: datetime = datetime(2026, 3, 4, 2, 30, tzinfo=UTC)

    with speaking_as(a_row()):
        here: tzinfo = timezone.get_current_timezone()
        assert timezone.localdate(late).isoformat() == "2026-03-03"
        assert str(here) == "America/New_York"
    with speaking_as(a_row(time_zone="Pacific/Auckland")):
        assert timezone.localdate(late).isoformat() == "2026-03-04"


@pytest.mark.parametrize(
    ("country", "written"), [("GB", "l j F Y"), ("US", "l, F j, Y")]
)
def test_the_first_page_says_its_day_once(country: str, written: str) -> None:
    page = words_of(text_of(open_business(country), "today"))

    with speaking_as(Business.objects.get()):
        day = timezone.localdate()
        assert page.count(date_format(day, written)) == 1
        assert page.count(date_format(day, "l")) == 1


def test_a_new_business_begins_in_the_server_s_zone(settings: Any) -> None:
    settings.TIME_ZONE = "Europe/London"

    open_business("GB")

    assert Business.objects.get().time_zone == "Europe/London"


def test_the_business_is_read_once_a_page(django_assert_num_queries: Any) -> None:
    browser = open_business("GB")

    # Session, person, business, and how many visits there are.
    with django_assert_num_queries(4) as seen:
        text_of(browser, "visits")

    rows = [one["sql"] for one in seen if 'FROM "materials_business"' in one["sql"]]
    assert len(rows) == 1


@pytest.mark.parametrize(
    ("country", "said", "day"),
    [
        ("GB", "Set tile skirting", "5 Mar 2026"),
        ("US", "Set tile base", "Mar 5, 2026"),
    ],
)
def test_labels_of_the_core_and_days_are_said_as_the_business_does(
    country: str, said: str, day: str
) -> None:
    open_business(country)
    with speaking_as(Business.objects.get()):
        page = engines["django"].from_string('{{ day|date:_("j M Y") }}')

        assert core_words("Set tile skirting") == said
        assert page.render({"day": date(2026, 3, 5)}) == day
        assert core_words("") == ""
