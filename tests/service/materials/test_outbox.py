"""The outbox: promised with what it announces, sent once, decided by a person."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import datetime, timedelta
from typing import Any
from urllib.parse import urlsplit

import pytest
from django.core.management import call_command
from django.db import transaction
from django.test import Client as Browser
from django.utils import timezone

from materials import queries
from materials.core.errors import Refusal
from materials.core.outgoing import MOST_ATTEMPTS
from materials.models import AuditEntry, Outgoing
from materials.services import Letter, give_up, owe_mail, owe_paper, send_again
from materials.services.outbox import TOKEN_MARK, claim, hand_over
from materials.services.seeds import token_of_seed
from materials.tasks import carry, sweep
from quotes.models import OfferLink
from tests.service.office import (
    a_business,
    ada,
    an_offer,
    ben,
    faults,
    new_key,
    olive,
    send,
    signed_in,
    text_of,
)
from tests.smtp_sink import Sink, sink

pytestmark = pytest.mark.django_db


@pytest.fixture
def post(settings: Any, tmp_path: Any) -> Iterator[Sink]:
    """Send through a real connection to a server that keeps what it gets."""
    settings.MEDIA_ROOT = tmp_path
    settings.EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
    settings.EMAIL_HOST, settings.EMAIL_USE_TLS = "127.0.0.1", False
    settings.DEFAULT_FROM_EMAIL = "post@fennick.example"
    with sink() as server:
        settings.EMAIL_PORT = server.port
        yield server


def a_letter(to: str = "okafor@example.org", **changes: str) -> Letter:
    words = {
        "recipient": to, "subject": "A word", "body": "Dear Mrs Okafor", "paper": "",
        "about": "Q2026-0001 A", "title": "Quote by mail", "page": "",
    }  # fmt: skip
    return Letter(**{**words, **changes})


def owed(to: str = "okafor@example.org", **changes: str) -> Outgoing:
    a_business()
    with transaction.atomic():
        return owe_mail(
            letter=a_letter(to, **changes),
            person=ada(),
            at=timezone.now(),
            name=new_key(),
        )


def again(row: Outgoing) -> Outgoing:
    row.refresh_from_db()
    return row


def later(**passed: int) -> datetime:
    return timezone.now() + timedelta(**passed)


def let_pass(row: Outgoing) -> None:
    """Let the time pass until a row is due."""
    Outgoing.objects.filter(pk=row.pk).update(due_at=timezone.now())


def test_a_promise_falls_with_what_it_announces() -> None:
    def announce() -> None:
        with transaction.atomic():
            owed()
            raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        announce()

    assert not Outgoing.objects.exists()


@pytest.mark.django_db(transaction=True)
def test_a_promise_outside_a_transaction_is_a_mistake() -> None:
    a_business()
    with pytest.raises(RuntimeError):
        owe_mail(letter=a_letter(), person=ada(), at=timezone.now(), name="x")
    with pytest.raises(RuntimeError):
        owe_paper(paper="offer:1", about="", title="", person=None)


@pytest.mark.parametrize(
    "to",
    ["c@d.test, x@evil.test", "c@d.test\nBcc: x@evil.test", "nobody", "", "a@b@c.test"],
)
def test_a_letter_goes_to_exactly_one_address(to: str) -> None:
    with pytest.raises(Refusal, match="one e-mail address"):
        owed(to)


def test_a_letter_is_sent_once_from_the_business(post: Sink) -> None:
    row = owed(subject="Two\r\nBcc: x@evil.test")

    assert carry(row.pk)
    assert not carry(row.pk)

    (letter,) = post.letters
    assert letter["To"] == "okafor@example.org"
    assert letter["From"] == "Fennick and Osei <post@fennick.example>"
    assert letter["Message-ID"] == f"<{row.uid}@fennick.example>"
    assert letter["Subject"] == "Two Bcc: x@evil.test"
    assert letter["Bcc"] is None
    assert again(row).state == "done"


def test_an_offer_comes_with_its_paper_and_a_link_nobody_else_holds(post: Sink) -> None:
    browser, revision = signed_in(ada()), an_offer()
    number = revision.quote.number
    send(browser, "mail-quote", number, to="okafor@example.org", words="As promised:")
    row = Outgoing.objects.get(kind="mail")
    assert row.seed
    assert TOKEN_MARK in row.body

    assert carry(row.pk)

    (letter,) = post.letters
    body = letter.get_body()
    assert body is not None
    said = body.get_content()
    assert "As promised:" in said
    address = re.search(r"http\S+/o/\S+", said)
    assert address is not None
    path = urlsplit(address[0]).path
    assert Browser().get(path).status_code == 200
    (paper,) = letter.iter_attachments()
    assert paper.get_content_type() == "application/pdf"
    assert paper.get_filename() == f"{number}-A.pdf"
    assert paper.get_content().startswith(b"%PDF-")
    token = path.split("/")[2]
    assert token not in str(list(Outgoing.objects.values()))
    assert again(row).seed == ""
    assert OfferLink.objects.get().sent_to == "okafor@example.org"
    revision.quote.visit.site.client.refresh_from_db()
    assert revision.quote.visit.site.client.email == "okafor@example.org"


def test_tokens_of_different_seeds_and_keys_differ(settings: Any) -> None:
    first = token_of_seed("a")
    assert len(first) == 43
    assert token_of_seed("b") != first
    settings.SECRET_KEY = "another"
    assert token_of_seed("a") != first


def test_what_is_typed_badly_is_shown_again_with_a_sentence() -> None:
    revision = an_offer()
    page = send(
        signed_in(olive()), "mail-quote", revision.quote.number,
        to="c@d.test, x@evil.test", words="My own words", expect=422,
    )  # fmt: skip

    assert "c@d.test, x@evil.test" in page.content.decode()
    assert "My own words" in page.content.decode()
    assert any("one e-mail address" in fault for fault in faults(page))
    assert not Outgoing.objects.filter(kind="mail").exists()
    assert not OfferLink.objects.exists()


def test_a_server_that_is_away_costs_time_and_nothing_else(
    post: Sink, settings: Any
) -> None:
    row, settings.EMAIL_PORT = owed(), 1

    assert not carry(row.pk)

    assert again(row).state == "waiting"
    assert "cannot be reached" in row.why
    assert later(seconds=50) < row.due_at < later(seconds=70)
    settings.EMAIL_PORT = post.port
    let_pass(row)
    assert sweep() == 1
    assert len(post.letters) == 1


def test_what_never_succeeds_ends_with_a_person(post: Sink, settings: Any) -> None:
    row, settings.EMAIL_PORT = owed(), 1
    for _ in range(MOST_ATTEMPTS):
        let_pass(row)
        assert not carry(row.pk)

    assert again(row).state == "failed"
    assert row.attempts == MOST_ATTEMPTS
    assert list(queries.outgoing_undecided(ada())) == [row]
    assert not post.letters


def test_an_address_refused_for_good_is_not_tried_again(post: Sink) -> None:
    row = owed("refused@example.org")

    assert not carry(row.pk)

    assert again(row).state == "failed"
    assert "550 no such person" in row.why


def test_an_address_refused_for_now_is_tried_again(post: Sink) -> None:
    row = owed("later@example.org")

    assert not carry(row.pk)

    assert again(row).state == "waiting"
    assert "451" in row.why


def test_a_line_cut_while_handing_over_is_tried_once_more_then_unknown(
    post: Sink,
) -> None:
    row = owed("cut@example.org")

    assert not carry(row.pk)
    assert again(row).state == "waiting"
    let_pass(row)
    assert not carry(row.pk)

    assert again(row).state == "unknown"
    assert len(post.letters) == 2
    assert len({letter["Message-ID"] for letter in post.letters}) == 1


def test_a_claim_keeps_others_away_until_it_runs_out() -> None:
    row = owed()

    assert claim(pk=row.pk, at=later(seconds=1)) is not None
    assert claim(pk=row.pk, at=later(seconds=2)) is None
    assert claim(pk=row.pk, at=later(seconds=400)) is not None


def test_a_worker_that_died_before_handing_over_leaves_no_doubt() -> None:
    row = owed()
    for minutes in (1, 10, 20):
        assert claim(pk=row.pk, at=later(minutes=minutes)) is not None

    assert again(row).unsure == 0


def test_a_worker_that_died_while_handing_over_repeats_once_then_asks() -> None:
    row = owed()
    for minutes in (1, 10):
        taken = claim(pk=row.pk, at=later(minutes=minutes))
        assert taken is not None
        assert hand_over(taken)

    assert claim(pk=row.pk, at=later(minutes=20)) is None
    assert again(row).state == "unknown"


def test_a_claim_that_ran_out_hands_nothing_over() -> None:
    row = owed()
    slow = claim(pk=row.pk, at=later(seconds=1))
    quick = claim(pk=row.pk, at=later(minutes=10))

    assert slow is not None
    assert quick is not None
    assert not hand_over(slow)
    assert hand_over(quick)


def unknown(to: str = "okafor@example.org") -> Outgoing:
    row = owed(to)
    Outgoing.objects.filter(pk=row.pk).update(state="unknown", unsure=2, why="?")
    return again(row)


def test_send_again_sends_the_same_letter_and_is_one_decision(post: Sink) -> None:
    row, key = unknown(), new_key()
    for _ in range(2):
        send_again(row=row, person=ada(), at=timezone.now(), key=key)

    assert sweep() == 1
    assert post.letters[0]["Message-ID"] == f"<{row.uid}@fennick.example>"
    with pytest.raises(Refusal, match="nothing to decide"):
        send_again(row=row, person=ada(), at=timezone.now(), key=new_key())
    assert AuditEntry.objects.filter(action="send again").count() == 1


def test_given_up_is_the_end_of_it(post: Sink) -> None:
    row = unknown()
    give_up(row=row, person=olive(), at=timezone.now(), key=new_key())

    assert again(row).state == "given_up"
    assert sweep() == 0
    assert not post.letters


def test_the_page_shows_what_waits_and_takes_decisions(post: Sink) -> None:
    row, waiting = unknown(), owed("adeyemi@example.org")
    browser = signed_in(olive())
    page = text_of(browser, "outbox")
    assert "For you to decide" in page
    assert "adeyemi@example.org" in page
    assert "1 letter or paper waits" in text_of(browser, "today")

    send(browser, "decide-outgoing", row.uid, "again")
    send(browser, "decide-outgoing", waiting.uid, "give-up")

    assert again(row).state == "waiting"
    assert again(waiting).state == "given_up"
    assert "For you to decide" not in text_of(browser, "outbox")
    send(signed_in(ben()), "decide-outgoing", row.uid, "again", expect=403)
    send(browser, "decide-outgoing", row.uid, "burn", expect=404)


def test_the_page_takes_the_same_queries_however_much_waits(
    django_assert_max_num_queries: Any,
) -> None:
    owed()
    browser = signed_in(ada())
    with django_assert_max_num_queries(12) as few:
        text_of(browser, "outbox")
    for _ in range(5):
        owed()
        unknown()
    with django_assert_max_num_queries(12) as many:
        text_of(browser, "outbox")

    assert len(few) == len(many)


def test_an_offer_owes_its_paper_and_the_sweeper_makes_it(
    settings: Any, tmp_path: Any
) -> None:
    settings.MEDIA_ROOT = tmp_path
    revision = an_offer()
    row = Outgoing.objects.get(kind="paper")
    assert sweep() == 0, "whoever asked makes it first"
    let_pass(row)

    assert sweep() == 1

    revision.refresh_from_db()
    assert revision.pdf is not None
    assert again(row).state == "done"


def test_a_paper_that_cannot_be_made_ends_with_a_person() -> None:
    a_business()
    with transaction.atomic():
        row = owe_paper(paper="offer:999", about="Q", title="Paper", person=None)
    for _ in range(3):
        let_pass(row)
        assert not carry(row.pk)

    assert again(row).state == "failed"
    assert "not there any more" in row.why


def test_the_command_drains_and_counts(post: Sink, capsys: Any) -> None:
    owed()
    unknown()
    call_command("drain_outbox")

    assert "1 done, 0 waiting, 1 for a person to decide" in capsys.readouterr().out
    assert len(post.letters) == 1


@pytest.mark.django_db(transaction=True)
def test_without_a_broker_the_letter_goes_when_the_transaction_is_through(
    post: Sink, settings: Any
) -> None:
    from gaugerod.celery import app

    app.conf.task_always_eager, before = True, app.conf.task_always_eager
    try:
        with transaction.atomic():
            row = owed()
            assert not post.letters
    finally:
        app.conf.task_always_eager = before

    assert len(post.letters) == 1
    assert again(row).state == "done"
