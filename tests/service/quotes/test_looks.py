"""A client's looks at a private link: counted once a minute, told on the quote."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.db import DatabaseError, connection
from django.test import Client as Browser
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from jobs.queries.all_books import check_books
from quotes.models import LinkLook, OfferLink
from quotes.services import looks, make_link, note_look
from quotes.services.looks import EVERY
from tests.service.office import (
    ada,
    an_offer,
    ben,
    new_key,
    olive,
    signed_in,
    text_of,
)

pytestmark = pytest.mark.django_db


def a_link() -> tuple[OfferLink, str]:
    link, token = make_link(
        revision=an_offer(), at=timezone.now(), person=ada(), key=new_key()
    )
    return link, reverse("offer", args=[token])


def ago(look: LinkLook, **by: float) -> None:
    """Let the last look have been so much earlier."""
    LinkLook.objects.filter(pk=look.pk).update(last_at=timezone.now() - timedelta(**by))


def writes(place: str) -> list[str]:
    """Return what a look at a place writes into the database."""
    with CaptureQueriesContext(connection) as seen:
        assert Browser().get(place).status_code == 200
    begun = ("INSERT", "UPDATE", "DELETE")
    return [one["sql"] for one in seen if one["sql"].startswith(begun)]


def test_looks_are_counted_once_a_minute_and_the_first_is_kept() -> None:
    link, place = a_link()

    assert len(writes(place)) == 1
    first = LinkLook.objects.get()
    assert (first.link, first.times) == (link, 1)
    assert writes(place) == []
    ago(first, seconds=59)
    assert writes(place) == []
    ago(first, seconds=61)
    assert len(writes(place)) == 1

    look = LinkLook.objects.get()
    assert look.times == 2
    assert look.first_at == first.first_at
    assert look.last_at > look.first_at


def test_of_two_looks_at_once_one_counts() -> None:
    link, _place = a_link()
    at = timezone.now()
    note_look(OfferLink.objects.get(pk=link.pk), at=at)
    rivals = [OfferLink.objects.select_related("look").get() for _ in range(2)]

    for one in rivals:
        note_look(one, at=at + EVERY)

    assert LinkLook.objects.get().times == 2


@pytest.mark.parametrize(
    "headers",
    [
        {"Sec-Purpose": "prefetch;prerender"},
        {"Purpose": "prefetch"},
        {"X-Moz": "prefetch"},
        {"X-Purpose": "preview"},
    ],
)
def test_what_nobody_opened_is_no_look(headers: dict[str, str]) -> None:
    _link, place = a_link()

    assert Browser(headers=headers).get(place).status_code == 200
    assert Browser().head(place).status_code == 200

    assert not LinkLook.objects.exists()


def test_nobody_of_the_business_is_counted_and_no_link_that_ended() -> None:
    link, place = a_link()
    for person in (ada(), ben(), olive()):
        assert signed_in(person).get(place).status_code == 200
    OfferLink.objects.filter(pk=link.pk).update(revoked_at=timezone.now())

    assert Browser().get(place).status_code == 404
    assert not LinkLook.objects.exists()


def test_the_quote_says_when_it_was_opened_first_and_how_often() -> None:
    link, place = a_link()
    owner, number = signed_in(ada()), link.revision.quote.number
    assert "not opened yet" in text_of(owner, "quote", number)

    Browser().get(place)
    assert ", 1 time<" in text_of(owner, "quote", number)
    ago(LinkLook.objects.get(), minutes=2)
    Browser().get(place)

    day = timezone.localdate().strftime("%-d %b %Y")
    assert f"first opened {day}, 2 times" in text_of(owner, "quote", number)
    assert [one.says for one in check_books().findings] == []


def test_the_quote_asks_no_more_for_many_links() -> None:
    link, place = a_link()
    owner, number = signed_in(ada()), link.revision.quote.number
    Browser().get(place)
    text_of(owner, "quote", number)
    with CaptureQueriesContext(connection) as one:
        text_of(owner, "quote", number)
    for _ in range(5):
        make_link(
            revision=link.revision, at=timezone.now(), person=ada(), key=new_key()
        )

    with CaptureQueriesContext(connection) as many:
        text_of(owner, "quote", number)

    assert len(many) == len(one)


def test_where_a_look_cannot_be_counted_the_offer_is_read_all_the_same(
    monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    def full(**_given: object) -> None:
        raise DatabaseError("database or disk is full")

    _link, place = a_link()
    monkeypatch.setattr(looks.LinkLook.objects, "get_or_create", full)

    assert Browser().get(place).status_code == 200
    assert "could not be counted" in caplog.text
