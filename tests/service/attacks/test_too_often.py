"""What costs much is held back by 429, for whoever asks too often and nobody else."""

from __future__ import annotations

import re
from datetime import datetime, timedelta
from typing import Any

import pytest
from django.db import OperationalError
from django.test import Client as Browser
from django.urls import reverse
from django.utils import timezone

from materials.core.limits import LETTERS, LINKS, PAPERS, TABLES, UPLOADS, Limit
from materials.models import Guesses, Outgoing, Person
from materials.services import lockout
from quotes.models import Visit
from quotes.services import make_link
from tests.service.gaugerod.test_headers import a_photo
from tests.service.office import (
    a_visit,
    ada,
    an_offer,
    ben,
    new_key,
    olive,
    signed_in,
)

pytestmark = pytest.mark.django_db

NOWHERE = "A" * 43


@pytest.fixture(autouse=True)
def own_media(settings: Any, tmp_path: Any) -> None:
    settings.MEDIA_ROOT = tmp_path


def use_up(limit: Limit, who: str, *, at: datetime | None = None) -> None:
    """Count so many times for somebody as a limit bears."""
    recent = [(at or timezone.now()).isoformat()] * limit.most
    Guesses.objects.update_or_create(
        subject=lockout.key_of("limit", limit.name, who),
        defaults={"recent": recent, "last_at": timezone.now()},
    )


def of(person: Person) -> str:
    return f"person {person.pk}"


def paper(browser: Browser, visit: Visit) -> Any:
    return browser.get(reverse("cut-list-paper", args=[visit.uid]))


def photo(browser: Browser, visit: Visit) -> Any:
    return browser.post(
        reverse("add-photo", args=[visit.uid]),
        {"photo": a_photo(), "request_key": new_key()},
    )


def test_papers_are_held_back_for_who_asks_too_often_and_open_again(
    caplog: pytest.LogCaptureFixture,
) -> None:
    visit, owner = a_visit(), signed_in(ada())
    use_up(PAPERS, of(ada()))

    answer = paper(owner, visit)

    assert answer.status_code == 429
    assert answer.headers["Retry-After"] == "900"
    assert "all else goes on" in answer.content.decode()
    assert '"what": "papers"' in caplog.text
    assert f'"who": {ada().pk}' in caplog.text
    assert owner.get(reverse("cut-list", args=[visit.uid])).status_code == 200
    assert paper(signed_in(ben()), visit).status_code == 200
    use_up(PAPERS, of(ada()), at=timezone.now() - timedelta(minutes=15, seconds=1))
    assert paper(owner, visit).status_code == 200


def test_every_paper_made_counts_once_and_the_last_one_is_refused() -> None:
    visit, owner = a_visit(), signed_in(ada())
    use_up(PAPERS, of(ada()))
    row = Guesses.objects.get()
    row.recent = row.recent[:-1]
    row.save()

    assert [paper(owner, visit).status_code for _ in range(2)] == [200, 429]
    assert len(Guesses.objects.get().recent) == PAPERS.most


@pytest.mark.parametrize(
    ("name", "args", "other"),
    [
        ("price-table-out", ["csv"], ["xlsx"]),
        ("books-out", ["sales", "csv"], ["all", "xlsx"]),
    ],
)
def test_tables_are_held_back_for_who_takes_too_many(
    name: str, args: list[str], other: list[str]
) -> None:
    a_visit()
    owner, place = signed_in(ada()), reverse(name, args=args)
    assert owner.get(place).status_code == 200
    assert len(Guesses.objects.get().recent) == 1
    use_up(TABLES, of(ada()))

    answers = [
        owner.get(place),
        owner.head(place),
        owner.get(reverse(name, args=other)),
    ]

    assert {answer.status_code for answer in answers} == {429}
    assert "all else goes on" in answers[0].content.decode()
    assert len(Guesses.objects.get().recent) == TABLES.most
    asks = owner.get(reverse({"price-table-out": "price-list"}.get(name, "books")))
    assert asks.status_code == 200
    assert signed_in(olive()).get(place).status_code == 200


def test_photos_are_held_back_and_the_page_says_to_send_the_file_again() -> None:
    visit, setter = a_visit(), signed_in(ben())
    assert photo(setter, visit).status_code == 302
    use_up(UPLOADS, of(ben()))

    answer = photo(setter, visit)

    assert answer.status_code == 429
    assert "send the file again" in answer.content.decode()
    assert visit.photos.count() == 1
    assert photo(signed_in(ada()), visit).status_code == 302


def test_a_letter_held_back_keeps_what_was_typed_and_goes_later() -> None:
    quote, office = an_offer().quote, signed_in(olive())
    use_up(LETTERS, of(olive()))
    address = reverse("mail-quote", args=[quote.number])
    typed = {
        "to": "okafor@example.org",
        "words": "As <promised>:",
        "request_key": new_key(),
    }

    answer = office.post(address, typed)

    assert answer.status_code == 429
    assert not Outgoing.objects.filter(kind="mail").exists()
    page = answer.content.decode()
    assert f'action="{address}"' in page
    carried = dict(re.findall(r'type="hidden" name="(\w+)" value="([^"]*)"', page))
    assert carried["to"] == "okafor@example.org"
    assert carried["words"] == "As &lt;promised&gt;:"
    assert carried["request_key"] == typed["request_key"]
    Guesses.objects.all().delete()
    assert office.post(address, typed).status_code == 302
    assert Outgoing.objects.filter(kind="mail").count() == 1


def test_who_guesses_at_links_is_held_back_by_address() -> None:
    _link, token = make_link(
        revision=an_offer(), at=timezone.now(), person=ada(), key=new_key()
    )
    guesser, live = Browser(REMOTE_ADDR="192.0.2.7"), reverse("offer", args=[token])
    dead = [reverse("offer", args=[f"{NOWHERE[:-2]}{n:02}"]) for n in range(LINKS.most)]

    assert {guesser.get(one).status_code for one in dead} == {404}

    assert guesser.get(dead[0]).status_code == 429
    assert guesser.head(dead[1]).status_code == 429
    assert guesser.post(reverse("decline-offer", args=[NOWHERE])).status_code == 429
    # A right guess is not told apart from a wrong one any more.
    told = [guesser.get(one) for one in (live, dead[2])]
    assert told[0].status_code == told[1].status_code == 429
    assert Browser(REMOTE_ADDR="192.0.2.8").get(live).status_code == 200
    owner = Browser(REMOTE_ADDR="192.0.2.7")
    owner.force_login(ada())
    assert owner.get(live).status_code == 200
    assert owner.get(dead[0]).status_code == 404
    assert owner.get(reverse("today")).status_code == 200


def test_links_that_open_are_never_counted() -> None:
    _link, token = make_link(
        revision=an_offer(), at=timezone.now(), person=ada(), key=new_key()
    )
    for _ in range(LINKS.most + 5):
        assert Browser().get(reverse("offer", args=[token])).status_code == 200
    assert not Guesses.objects.exists()


def test_a_forged_header_does_not_change_the_address_that_is_counted() -> None:
    for number in range(LINKS.most + 1):
        answer = Browser(headers={"x-forwarded-for": f"198.51.100.{number}"}).get(
            reverse("offer", args=[NOWHERE])
        )
    assert answer.status_code == 429


def test_where_nothing_can_be_counted_nobody_is_held_back(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def full(*_given: object, **_named: object) -> bool:
        raise OperationalError("database or disk is full")

    monkeypatch.setattr(lockout, "take_a_try", full)

    assert paper(signed_in(ada()), a_visit()).status_code == 200
