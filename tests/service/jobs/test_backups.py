"""Backups in use, restored aside and verified; a damaged one is refused."""

from __future__ import annotations

import random
import re
import threading
import time
from collections.abc import Iterator
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings as configured
from django.core.management import CommandError, call_command
from django.db import connection, connections

from jobs.management import databases
from jobs.management.archive import check_digest
from jobs.management.backups import make_backup, restore_backup, upgrade
from jobs.models import Payment, Usage
from jobs.services.keepsake import last_backup
from materials.models import Business, StoredFile
from materials.models.guarding import lowered
from materials.services.people import end_access
from tests.service.jobs.booked import a_person, ada
from tests.service.jobs.whole_business import a_whole_business
from tests.service.office import signed_in, text_of

pytestmark = pytest.mark.django_db(transaction=True)

FLIPS = 60


@pytest.fixture(autouse=True)
def own_folder(settings: Any, tmp_path: Path) -> Iterator[Path]:
    settings.VAR_DIR = tmp_path
    settings.MEDIA_ROOT = tmp_path / f"media-{settings.BUSINESS}"
    yield tmp_path
    forget_replaced()


def forget_replaced() -> None:
    """Drop what restores have kept of the test database under other names."""
    name = str(connection.settings_dict["NAME"])
    if connection.vendor != "postgresql":
        for place in Path(name).parent.glob(f"{Path(name).name}.before-*"):
            place.unlink()
        return
    with databases._pg("postgres", autocommit=True) as server:
        found = server.execute(
            "SELECT datname FROM pg_database WHERE datname LIKE %s",
            [f"{name}_before_%"],
        ).fetchall()
        for (one,) in found:
            server.execute(databases._name("DROP DATABASE {}", one))


def test_a_backup_restores_to_the_same_rows_files_and_trail(own_folder: Path) -> None:
    a_whole_business()
    out = own_folder / "one.backup"
    call_command("backup", str(out), stdout=StringIO())
    before = databases.contents_of(str(connection.settings_dict["NAME"]))
    kept = {row.digest for row in StoredFile.objects.all()}
    with lowered():
        Payment.objects.all().delete()
    for place in (own_folder / f"media-{configured.BUSINESS}").rglob("*/*/*"):
        place.unlink()

    call_command("restore", str(out), replace=True, stdout=StringIO())

    after = databases.contents_of(str(connection.settings_dict["NAME"]))
    assert after == before
    assert Payment.objects.count() == 1
    assert kept == {
        place.name
        for place in (own_folder / f"media-{configured.BUSINESS}").rglob("*/*/*")
    }
    call_command("verify_books", stdout=StringIO())
    with pytest.raises(CommandError, match="--replace"):
        call_command("restore", str(out), stdout=StringIO())


def test_one_flipped_bit_anywhere_refuses_the_backup(own_folder: Path) -> None:
    a_whole_business()
    out = own_folder / "one.backup"
    make_backup(out)
    good = out.read_bytes()
    chance = random.Random(7)
    places = {0, 17, 18, len(good) - 1, len(good) - 2, len(good) - 66}
    places |= {chance.randrange(len(good)) for _ in range(FLIPS)}
    for place in sorted(places):
        bad = bytearray(good)
        bad[place] ^= 1 << chance.randrange(8)
        out.write_bytes(bad)
        with pytest.raises(CommandError, match=r"damaged|no backup"):
            check_digest(out)
    for length in (0, 10, 83, len(good) // 2, len(good) - 1):
        out.write_bytes(good[:length])
        with pytest.raises(CommandError, match=r"damaged|no backup"):
            restore_backup(out, replace=True)

    assert Usage.objects.count() == 1


def test_a_backup_of_books_that_do_not_hold_is_not_called_verified(
    own_folder: Path,
) -> None:
    a_whole_business()
    with lowered():
        Payment.objects.update(reference="somebody else")

    with pytest.raises(CommandError, match="jobs_payment"):
        make_backup(own_folder / "one.backup")

    assert last_backup() == {}


def test_a_backup_made_while_others_write_is_whole(own_folder: Path) -> None:
    a_whole_business()
    stop, written, faults = threading.Event(), [0], []

    def write() -> None:
        try:
            while not stop.is_set():
                person = a_person(f"rival-{written[0]}", "setter")
                end_access(person=person, by=ada())
                written[0] += 1
                time.sleep(0.02)
        except Exception as error:  # noqa: BLE001 - shown by the assertion
            faults.append(error)
        finally:
            connections.close_all()

    rival = threading.Thread(target=write)
    rival.start()
    try:
        facts = make_backup(own_folder / "one.backup")
    finally:
        stop.set()
        rival.join()

    assert faults == []
    assert written[0] > 3
    assert facts["seq"] > 0


def test_an_upgrade_that_fails_leaves_all_as_it_was(
    own_folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    a_whole_business()
    real = databases.manage

    def failing(*arguments: str, database: str, var: Path) -> tuple[int, str]:
        code, said = real(*arguments, database=database, var=var)
        if var == own_folder:
            with lowered():
                Payment.objects.all().delete()
            return 1, "a migration broke off"
        return code, said

    monkeypatch.setattr("jobs.management.backups.manage", failing)

    stands, said = upgrade(own_folder / "backups")

    assert not stands
    assert "as it was before" in said
    assert Payment.objects.count() == 1


def test_an_upgrade_says_where_its_backup_lies(own_folder: Path) -> None:
    a_whole_business()

    stands, said = upgrade(own_folder / "backups")

    assert stands, said
    assert list((own_folder / "backups").glob("before-upgrade-*.backup"))


def test_the_owner_sees_how_old_the_last_verified_backup_is(own_folder: Path) -> None:
    a_whole_business()
    browser = signed_in(ada())
    assert "No backup has been verified yet" in text_of(browser, "today")

    make_backup(own_folder / "one.backup")

    assert re.search(
        r"Backed up and verified\D+0\D+minutes ago", text_of(browser, "today")
    )
    assert Business.objects.count() == 1
