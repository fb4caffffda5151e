"""The longer search behind a page: asked for once, kept, shown, never in a quote."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from celery import current_app
from django.test import Client as Browser
from django.test import override_settings
from django.urls import reverse
from django.utils import timezone

from jobs.models import Job
from materials import services as materials
from materials.models import AuditEntry, BoardSearch, Material, Outgoing
from materials.services import outbox, searches
from materials.tasks import carry, sweep
from quotes.core.takeoff import take_off
from quotes.models import Visit
from quotes.queries.estimating import agreed_inputs, estimate_of
from quotes.services import make_quote, reprice_draft
from quotes.services.visit_files import take_visit_file
from tests.service.office import (
    a_stocked_business,
    accepted,
    ada,
    an_offer,
    new_key,
    signed_in,
    text_of,
)
from tests.service.remembered import remembered

pytestmark = pytest.mark.django_db

SIZES = (("1310", "2365"), ("961", "2365"), ("2500", "2700"), ("1785", "1630"),
         ("2210", "1540"))  # fmt: skip
"""Walls that a longer search cuts from fewer boards of 900 × 1500."""


def a_board_visit() -> Visit:
    """Store five walls to be boarded from small boards, in a stocked business."""
    remembered("five walls to be boarded", _board_visit)
    return Visit.objects.get()


def _board_visit() -> None:
    a_stocked_business()
    board = Material.objects.filter(kind="backer_board").order_by("pk")[0]
    board.facts = {**board.facts, "width": "900 mm", "length": "1500 mm"}
    board.save()
    take_visit_file(data=a_file(board.code), person=ada(), key=new_key())


def a_file(code: str) -> dict[str, Any]:
    walls = [
        {
            "id": f"wall-{at}",
            "name": f"Wall {at}",
            "role": "wall",
            "build_up": "boarded",
            "shape": {"kind": "rectangle", "width": wide, "height": high},
        }
        for at, (wide, high) in enumerate(SIZES, start=1)
    ]
    return {
        "format": "gaugerod-visit",
        "version": 1,
        "unit": "mm",
        "id": "five-walls",
        "title": "Five walls",
        "currency": "GBP",
        "measured_on": "2026-05-04",
        "client": {"name": "Mrs Okafor", "nature": "household", "address": "4 Quay St"},
        "build_ups": {
            "boarded": {
                "name": "Boarded",
                "layers": [{"role": "board", "material": code}],
            }
        },
        "spaces": [{"id": "hall", "name": "Hall", "surfaces": walls}],
    }


def sheets(visit: Visit) -> int:
    (need,) = estimate_of(visit, on=timezone.localdate()).takeoff.needs
    return int(need.quantity)


def page(browser: Browser, visit: Visit, name: str) -> str:
    return text_of(browser, name, visit.uid)


def asked(browser: Browser, visit: Visit) -> None:
    answer = browser.post(
        reverse("look-deeper", args=[visit.uid]), {"page": "cut-list"}
    )
    assert answer.status_code == 302
    assert answer["Location"] == reverse("cut-list", args=[visit.uid])


def test_a_page_offers_asks_waits_and_then_shows_the_better_plan() -> None:
    visit, browser = a_board_visit(), signed_in(ada())
    first = sheets(visit)
    assert "A longer search may find" in page(browser, visit, "cut-list")
    assert not Outgoing.objects.exists()

    asked(browser, visit)

    for name in ("buy", "cut-list", "price"):
        words = page(browser, visit, name)
        assert "A better board plan is being looked for" in words
        assert "Look for a better plan" not in words
    assert sheets(visit) == first

    assert sweep() == 1

    better = sheets(visit)
    assert better < first
    for name in ("buy", "cut-list", "price"):
        words = page(browser, visit, name)
        said = f"found this plan: {better} new sheets, the first took {first}."
        assert said in words
        assert "being looked for" not in words


@pytest.fixture
def no_broker() -> Iterator[None]:
    """These tests also run where there is one."""
    before = current_app.conf.task_always_eager
    current_app.conf.task_always_eager = True
    yield
    current_app.conf.task_always_eager = before


def test_without_a_broker_the_search_is_done_when_it_is_asked_for(
    django_capture_on_commit_callbacks: Any, no_broker: None
) -> None:
    visit, browser = a_board_visit(), signed_in(ada())

    with django_capture_on_commit_callbacks(execute=True):
        asked(browser, visit)

    row = BoardSearch.objects.get()
    assert row.after < row.before
    assert Outgoing.objects.get().state == Outgoing.State.DONE


@override_settings(CELERY_TASK_ALWAYS_EAGER=False)
def test_asked_twice_it_is_one_search(monkeypatch: pytest.MonkeyPatch) -> None:
    rung: list[Any] = []
    monkeypatch.setattr(searches, "ring", rung.append)
    visit, browser = a_board_visit(), signed_in(ada())

    asked(browser, visit)
    asked(browser, visit)

    assert BoardSearch.objects.count() == Outgoing.objects.count() == len(rung) == 1


def test_a_search_done_twice_ends_as_it_ended_first(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    visit, browser = a_board_visit(), signed_in(ada())
    asked(browser, visit)
    owed = Outgoing.objects.get()
    assert carry(owed.pk)
    before = BoardSearch.objects.values().get()
    monkeypatch.setattr(searches, "searched", lambda _problem: pytest.fail("again"))

    assert not carry(owed.pk)
    searches.run_search(owed.paper)

    assert BoardSearch.objects.values().get() == before


def test_a_worker_that_died_leaves_a_search_that_is_taken_over() -> None:
    visit, browser = a_board_visit(), signed_in(ada())
    asked(browser, visit)
    owed = Outgoing.objects.get()
    assert outbox.claim(pk=owed.pk, at=timezone.now())
    Outgoing.objects.filter(pk=owed.pk).update(due_at=timezone.now())

    assert sweep() == 1
    assert BoardSearch.objects.get().record


def test_the_same_walls_of_another_visit_have_the_plan_at_once() -> None:
    visit, browser = a_board_visit(), signed_in(ada())
    asked(browser, visit)
    sweep()
    plain = a_file(Material.objects.filter(kind="backer_board").order_by("pk")[0].code)
    plain["title"] = "The same next door"
    for surface in plain["spaces"][0]["surfaces"]:
        surface["name"] = f"Next {surface['name']}"
    other = take_visit_file(data=plain, person=ada(), key=new_key())

    assert sheets(other) == sheets(visit) == BoardSearch.objects.get().after
    words = page(browser, other, "cut-list")
    assert "Next Wall 1" in words
    assert "Hall, Wall 1" not in words


def test_a_visit_that_was_changed_leaves_the_result_alone() -> None:
    visit, browser = a_board_visit(), signed_in(ada())
    asked(browser, visit)
    wall = visit.spaces.get().surfaces.order_by("pk")[0]
    shape = {"kind": "rectangle", "width": "2210", "height": "2000"}
    wall.facts = {**wall.facts, "shape": shape}
    wall.save()
    changed = sheets(visit)

    sweep()

    assert sheets(visit) == changed
    assert "A longer search may find" in page(browser, visit, "cut-list")


def test_a_quote_keeps_its_plan_and_the_price_page_says_that_there_is_another() -> None:
    visit, browser = a_board_visit(), signed_in(ada())
    first, on = sheets(visit), timezone.localdate()
    quote = make_quote(visit=visit, on=on, person=ada(), key=new_key())
    revision = quote.revisions.get()
    net = revision.net
    asked(browser, visit)
    sweep()

    revision.refresh_from_db()
    record, catalogue = agreed_inputs(revision)
    (need,) = take_off(record, catalogue).needs
    assert int(need.quantity) == first
    assert revision.net == net
    words = page(browser, visit, "price")
    assert f"After {quote.number} A was priced" in words

    again = reprice_draft(revision=revision, on=on)
    assert again.net < net
    assert "A was priced" not in page(browser, visit, "price")


def test_the_job_cuts_by_the_plan_that_was_agreed() -> None:
    visit, browser = a_board_visit(), signed_in(ada())
    first = sheets(visit)
    offer = an_offer(visit)
    accepted(offer)
    asked(browser, visit)
    sweep()
    assert sheets(visit) < first

    words = text_of(browser, "job-cut-list", Job.objects.get().number)

    assert f"{first} sheets, the best plan found" in words
    assert "longer search" not in words


def test_only_a_problem_that_could_be_cheaper_is_searched() -> None:
    assert (
        materials.owe_searches(problems=[], about="", person=ada(), at=timezone.now())
        == 0
    )
    assert not Outgoing.objects.exists()


def gave_up(owed: Outgoing, why: str = "The plan could not be kept.") -> None:
    """End a search as the outbox does when it has tried often enough."""
    row = outbox.claim(pk=owed.pk, at=timezone.now())
    assert row is not None
    outbox.put_back(row, why=why, at=timezone.now(), for_good=True)


def test_a_search_that_found_no_answer_says_so_and_is_begun_again() -> None:
    visit, browser = a_board_visit(), signed_in(ada())
    first = sheets(visit)
    asked(browser, visit)
    gave_up(Outgoing.objects.get())

    for name in ("buy", "cut-list", "price"):
        words = page(browser, visit, name)
        assert "ended without an answer; this plan is good to work with." in words
        assert "Look again" in words
        assert "being looked for" not in words
    assert sheets(visit) == first

    asked(browser, visit)

    assert "being looked for" in page(browser, visit, "cut-list")
    step = AuditEntry.objects.get(action="look again")
    assert step.facts["state"] == "failed"
    assert Outgoing.objects.count() == 1
    assert sweep() == 1
    assert sheets(visit) < first


def test_a_search_that_a_person_gave_up_may_be_begun_again() -> None:
    visit, browser = a_board_visit(), signed_in(ada())
    asked(browser, visit)
    owed = Outgoing.objects.get()
    outbox.give_up(row=owed, person=ada(), at=timezone.now(), key=new_key())
    assert 'data-search="ended"' in page(browser, visit, "cut-list")

    asked(browser, visit)

    owed.refresh_from_db()
    assert (owed.state, owed.attempts, owed.settled_at) == ("waiting", 0, None)


def test_looking_again_while_it_goes_on_begins_nothing() -> None:
    visit, browser = a_board_visit(), signed_in(ada())
    asked(browser, visit)
    gave_up(Outgoing.objects.get())
    asked(browser, visit)
    claimed = outbox.claim(pk=Outgoing.objects.get().pk, at=timezone.now())
    assert claimed is not None

    asked(browser, visit)

    row = Outgoing.objects.get()
    assert (row.state, row.claim) == ("working", claimed.claim)
    assert AuditEntry.objects.filter(action="look again").count() == 1


def test_a_search_whose_promise_is_gone_is_promised_anew() -> None:
    visit, browser = a_board_visit(), signed_in(ada())
    asked(browser, visit)
    Outgoing.objects.all().delete()
    assert 'data-search="ended"' in page(browser, visit, "cut-list")

    asked(browser, visit)

    assert Outgoing.objects.get().state == Outgoing.State.WAITING
