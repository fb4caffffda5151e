"""Letters that were not sent yet when a backup was made: their links, after a restore.

A token is made with the signing key when its letter goes; no backup holds that key.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
from django.core import mail
from django.core.management import call_command
from django.test import Client as Browser
from django.urls import reverse
from django.utils import timezone

from materials.models import Outgoing
from materials.services import outbox
from materials.tasks import carry, sweep
from quotes.models import Revision
from quotes.services import make_link
from tests.service.jobs.test_backups import forget_replaced
from tests.service.office import ada, an_offer, new_key, send, signed_in, text_of

pytestmark = pytest.mark.django_db(transaction=True)

OTHER_KEY = "a-key-of-another-machine-" * 3
UNTOLD = "The signing key here is not the one"


@pytest.fixture(autouse=True)
def own_folder(
    settings: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> Iterator[Path]:
    settings.VAR_DIR = tmp_path
    settings.MEDIA_ROOT = tmp_path / f"media-{settings.BUSINESS}"
    monkeypatch.setattr(outbox, "_ring", lambda pk: None)
    yield tmp_path
    forget_replaced()


def owed_letter(revision: Revision) -> Outgoing:
    send(
        signed_in(ada()), "mail-quote", revision.quote.number,
        to="okafor@example.org", words="",
    )  # fmt: skip
    return Outgoing.objects.filter(kind="mail").latest("pk")


def backed_up_and_restored(folder: Path, settings: Any, *, key: str) -> str:
    """Restore a backup on a machine with a signing key; return what it says."""
    out, said = folder / "one.backup", StringIO()
    call_command("backup", str(out), stdout=StringIO())
    settings.SECRET_KEY = key
    call_command("restore", str(out), replace=True, stdout=said)
    return said.getvalue()


def opened_by(letter: Any) -> int:
    """Return how the address in a letter answers."""
    address = re.search(r"http\S+(/o/\S+)", letter.body)
    assert address is not None
    return Browser().get(address[1]).status_code


def test_under_the_same_key_an_unsent_letter_goes_and_its_link_opens(
    own_folder: Path, settings: Any
) -> None:
    row = owed_letter(an_offer())

    said = backed_up_and_restored(own_folder, settings, key=settings.SECRET_KEY)

    assert "Letters" not in said
    assert carry(row.pk)
    assert opened_by(mail.outbox[-1]) == 200


def test_under_another_key_letters_wait_for_a_person_and_go_anew(
    own_folder: Path, settings: Any
) -> None:
    revision = an_offer()
    waits, unsure = owed_letter(revision), owed_letter(revision)
    Outgoing.objects.filter(pk=unsure.pk).update(state="unknown", why="It broke.")
    _link, token = make_link(
        revision=revision, at=timezone.now(), person=ada(), key=new_key()
    )

    said = backed_up_and_restored(own_folder, settings, key=OTHER_KEY)

    assert "private link that were not sent yet: 2." in said
    for row, state in ((waits, "failed"), (unsure, "unknown")):
        row.refresh_from_db()
        assert (row.state, row.claim) == (state, None)
        assert UNTOLD in row.why
    sweep()
    assert mail.outbox == []
    assert UNTOLD in text_of(signed_in(ada()), "outbox")
    assert Browser().get(reverse("offer", args=[token])).status_code == 200

    again = signed_in(ada()).post(
        reverse("decide-outgoing", args=[waits.uid, "again"]),
        {"request_key": new_key()},
        follow=True,
    )
    assert UNTOLD in again.content.decode()
    waits.refresh_from_db()
    assert waits.state == "failed"

    send(signed_in(ada()), "decide-outgoing", waits.uid, "give-up")
    anew = owed_letter(revision)
    assert carry(anew.pk)
    assert opened_by(mail.outbox[-1]) == 200


def test_a_key_changed_without_a_restore_sends_nothing_broken_either(
    settings: Any,
) -> None:
    row = owed_letter(an_offer())
    settings.SECRET_KEY = OTHER_KEY

    assert not carry(row.pk)

    row.refresh_from_db()
    assert row.state == "failed"
    assert UNTOLD in row.why
    assert mail.outbox == []
