"""Visits: begun, changed, copied for another client at today's prices."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from django.urls import reverse
from django.utils import timezone

from materials.core import amounts
from materials.models import Pack, StoredFile
from quotes.models import Client, HandLine, Overrule, Site, Space, Surface, Visit
from tests.service.jobs.test_pages import a_photo
from tests.service.office import (
    WALL,
    a_business,
    a_hand_line,
    a_space,
    a_stocked_business,
    a_visit,
    ada,
    ben,
    faults,
    send,
    signed_in,
    text_of,
)

pytestmark = pytest.mark.django_db

ENTRY = {
    "title": "A hall floor",
    "client_name": "Mr Adeyemi",
    "address": "2 Quay Street",
    "held_on": "2026-05-04",
    "nature": "household",
    "system": "metric",
    "access_width": "760",
    "storey": "2",
}


@pytest.fixture(autouse=True)
def _kept_files(settings: Any, tmp_path: Any) -> None:
    settings.MEDIA_ROOT = tmp_path


def test_a_setter_begins_a_visit() -> None:
    a_business()

    send(signed_in(ben()), "add-visit", **ENTRY)

    visit = Visit.objects.get()
    assert (visit.title, visit.made_by) == ("A hall floor", ben())
    assert visit.site.client.name == "Mr Adeyemi"
    assert visit.site.facts == {"storey": 2, "access": {"width": "760"}}


def test_a_client_known_already_is_not_made_again() -> None:
    client = a_visit().site.client

    send(signed_in(ben()), "add-visit", **{**ENTRY, "client_name": "",
                                           "client": str(client.pk)})  # fmt: skip

    assert Client.objects.count() == 1
    assert Visit.objects.latest("pk").site.client == client


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"title": ""}, "title"),
        ({"client_name": ""}, "client_name"),
        ({"address": ""}, "address"),
        ({"held_on": "some day"}, "held_on"),
        ({"email": "at home"}, "email"),
        ({"nature": "ghost"}, "nature"),
        ({"access_width": "wide"}, "access_width"),
        ({"access_width": "-760"}, "access_width"),
        ({"access_width": "900'"}, "access_width"),
        ({"access_width": "٧٦٠"}, "access_width"),
        ({"storey": "9" * 40}, "storey"),
        ({"system": "leagues"}, "system"),
        ({"title": "x" * 161}, "title"),
    ],
    ids=str,
)
def test_a_visit_with_a_slip_is_refused_beside_its_field(
    change: dict[str, str], field: str
) -> None:
    a_business()

    response = send(signed_in(ben()), "add-visit", expect=422, **{**ENTRY, **change})

    page = response.content.decode()
    assert f'id="id_{field}_error"' in page, faults(response)
    assert "2 Quay Street" in page or field == "address"
    assert Visit.objects.count() == Client.objects.count() == Site.objects.count() == 0


def test_a_visit_is_changed_and_a_stale_page_changes_nothing() -> None:
    visit, browser = a_visit(), signed_in(ben())
    version = str(visit.version)

    send(browser, "change-visit", visit.uid, version=version, **ENTRY)
    response = send(browser, "change-visit", visit.uid, expect=422, version=version,
                    **{**ENTRY, "title": "A landing"})  # fmt: skip

    visit.refresh_from_db()
    assert visit.title == "A hall floor"
    assert visit.site.client.name == "Mr Adeyemi"
    assert "changed on another screen" in " ".join(faults(response))
    assert 'value="A landing"' in response.content.decode()


def test_a_version_that_is_no_number_is_no_crash() -> None:
    visit = a_visit()

    send(signed_in(ben()), "change-visit", visit.uid, version="x", **ENTRY)

    assert Visit.objects.get().title == "A hall floor"


@pytest.mark.parametrize(
    "change", [{"name": ""}, {"times": "0"}, {"times": "-1"}, {"times": "9" * 40}]
)
def test_a_space_with_a_slip_is_refused(change: dict[str, str]) -> None:
    visit = a_visit()

    fields = {"name": "Hall", "times": "1", "notes": "damp", **change}
    response = send(signed_in(ben()), "add-space", visit.uid, expect=422, **fields)

    assert faults(response)
    assert "damp" in response.content.decode()
    assert Space.objects.count() == 0


def test_a_photo_is_kept_once_however_often_it_is_sent() -> None:
    visit, browser = a_visit(), signed_in(ben())

    for _ in range(2):
        send(browser, "add-photo", visit.uid, photo=a_photo(), note="the old floor")

    assert StoredFile.objects.count() == 1
    digest = StoredFile.objects.get().digest
    assert browser.get(reverse("kept-file", args=[digest])).status_code == 200


def test_an_unknown_product_or_a_price_missing_is_said_with_its_name() -> None:
    space, browser = a_space(), signed_in(ada())
    send(browser, "build-ups", space.visit.uid, name="Mine")
    build_up = space.visit.build_ups.get()
    build_up.layers = [{"role": "tile", "material": "TL-NONE", "joint": "3"}]
    build_up.save()
    send(browser, "add-surface", space.uid, **{**WALL, "build_up": build_up.key})

    for name in ("visit", "buy", "price"):
        page = text_of(browser, name, space.visit.uid)
        assert "TL-NONE" in page
        assert "Cannot be computed yet" in page or "Cannot be priced yet" in page
    send(browser, "make-quote", space.visit.uid)
    assert space.visit.quotes.count() == 0


def test_a_price_missing_on_the_date_is_said_and_no_quote_is_made() -> None:
    visit, browser = a_tiled_visit(), signed_in(ada())
    tomorrow = timezone.localdate() + timedelta(days=1)
    for pack in Pack.objects.filter(material__code="TL-WH-S"):
        pack.prices.update(valid_from=tomorrow)

    page = text_of(browser, "buy", visit.uid)
    send(browser, "make-quote", visit.uid)

    assert "Cannot be computed yet" in page
    assert "TL-WH-S" in page
    assert visit.quotes.count() == 0


def a_tiled_visit() -> Visit:
    """Measure a kitchen wall with a build-up of the starter list."""
    a_stocked_business()
    space, browser = a_space(), signed_in(ada())
    send(browser, "build-ups", space.visit.uid, template="kitchen-wall")
    send(browser, "add-surface", space.uid, **{**WALL, "build_up": "kitchen-wall"})
    return Visit.objects.get(pk=space.visit_id)


def test_a_copy_is_for_the_new_client_at_today_s_prices_with_changes_shown() -> None:
    visit, browser = a_tiled_visit(), signed_in(ada())
    a_hand_line(visit, "60.00")
    send(browser, "choice", visit.uid, "overrule", line="material:TL-WH-S",
         what="cost", value="1.00", reason="a favour")  # fmt: skip
    Visit.objects.filter(pk=visit.pk).update(
        held_on=timezone.localdate() - timedelta(days=10)
    )
    pack = Pack.objects.filter(material__code="TL-WH-S").order_by("pk").first()
    assert pack is not None
    send(browser, "change-price", pack.pk, amount="999.00", least_packs="1",
         valid_from=timezone.localdate().isoformat())  # fmt: skip

    answer = send(browser, "copy-visit", visit.uid, **{**ENTRY, "system": "imperial"})

    copy = Visit.objects.exclude(pk=visit.pk).get()
    assert copy.system == visit.system == "metric"
    assert answer.headers["Location"] == reverse("visit-changes", args=[copy.uid])
    assert copy.copied_from == visit
    assert copy.site.client.name == "Mr Adeyemi"
    assert visit.site.client.name == "Mrs Okafor"
    surfaces = Surface.objects.order_by("pk")
    assert [row.facts["shape"]["width"] for row in surfaces] == ["2400", "2400"]
    assert len({row.uid for row in surfaces}) == 2
    assert HandLine.objects.filter(visit=copy).get().unit_price == amounts.unit_price(
        "60.00", "GBP"
    )
    assert Overrule.objects.filter(visit=copy).count() == 0
    page = text_of(browser, "visit-changes", copy.uid)
    assert "Sizes are the same" in page
    tile = page.split("<tbody>")[1]
    assert pack.material.name in tile
    assert "1.00" in tile


def test_a_copy_stays_when_the_first_visit_changes() -> None:
    visit, browser = a_visit(), signed_in(ada())
    space = a_space(visit)
    send(browser, "add-surface", space.uid, **WALL)
    send(browser, "copy-visit", visit.uid, **ENTRY)
    first = space.surfaces.get()

    send(browser, "surface", first.uid, **{**WALL, "width": "999"})

    copied = Surface.objects.exclude(pk=first.pk).get()
    assert copied.facts["shape"]["width"] == "2400"


def test_the_list_of_visits_takes_the_same_queries_whatever_its_length(
    django_assert_max_num_queries: Any,
) -> None:
    browser, counts = signed_in(ada()), []
    for more in (2, 6):
        for _ in range(more):
            a_visit()
        with django_assert_max_num_queries(8) as seen:
            text_of(browser, "visits")
        counts.append(len(seen))

    assert counts[0] == counts[1]


SLIPS = ["-1", "NaN", "٣", "9" * 40, "1e5", "$5", "1,5"]


@pytest.mark.parametrize(
    ("field", "typed"),
    [
        ("quantity", "0"),
        *((field, typed) for field in ("quantity", "unit_price") for typed in SLIPS),
    ],
)
def test_a_hand_typed_line_of_no_amount_is_refused(field: str, typed: str) -> None:
    visit = a_visit()
    entry = {"text": "Haul away", "quantity": "1", "unit_price": "60",
             "cost_class": "disposal"}  # fmt: skip

    response = send(signed_in(ada()), "choice", visit.uid, "hand-line", expect=422,
                    **{**entry, field: typed})  # fmt: skip

    page = response.content.decode()
    assert faults(response)
    assert f'value="{typed}"' in page
    assert 'value="Haul away"' in page
    assert HandLine.objects.count() == 0


def test_of_two_overrules_of_one_figure_the_last_word_stands() -> None:
    visit, browser = a_tiled_visit(), signed_in(ada())
    entry = {"line": "material:TL-WH-S", "what": "cost", "reason": "a favour"}

    send(browser, "choice", visit.uid, "overrule", value="5.00", **entry)
    send(browser, "choice", visit.uid, "overrule", value="6.00", **entry)

    assert Overrule.objects.get().value == "6.00"
    assert "6.00" in text_of(browser, "price", visit.uid)
