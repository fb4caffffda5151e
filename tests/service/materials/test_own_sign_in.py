"""One's own password, and where one is signed in."""

from __future__ import annotations

import re
from datetime import timedelta
from typing import Any

import pytest
from django.contrib.auth.password_validation import validate_password
from django.contrib.sessions.backends.db import SessionStore
from django.contrib.sessions.models import Session
from django.core.exceptions import ValidationError
from django.test import Client as Browser
from django.urls import reverse
from django.utils import timezone

from materials.core.guessing import MOST
from materials.models import AuditEntry, Outgoing, Person, SignIn
from materials.services import sign_ins
from tests.service.office import (
    PASSWORD,
    a_business,
    ada,
    ben,
    faults,
    send,
    signed_in,
    text_of,
)

pytestmark = pytest.mark.django_db

OTHER = "five blue buckets by the kiln"
PHONE = "Mozilla/5.0 (Linux; Android 14) Gecko/140.0 Firefox/140.0 Mobile"
DESK = "Mozilla/5.0 (X11; Linux x86_64; rv:140.0) Gecko/20100101 Firefox/140.0"


def a_sign_in(person: Person, *, agent: str = DESK, keep: bool = False) -> Browser:
    """Sign in through the page, as people do."""
    if not person.has_usable_password() or not person.check_password(PASSWORD):
        person.set_password(PASSWORD)
        person.save()
    browser = Browser(headers={"User-Agent": agent})
    entry = {"username": person.username, "password": PASSWORD}
    send(browser, "sign-in", **entry, **({"keep": "on"} if keep else {}))
    return browser


def is_in(browser: Browser) -> bool:
    return browser.get(reverse("visits")).status_code == 200


def change(browser: Browser, new: str = OTHER, **other: Any) -> Any:
    entry = {"old": PASSWORD, "new": new, "again": new, **other}
    return send(browser, "own-password", **entry)


def shift(browser: Browser, **by: timedelta) -> None:
    """Let a session have begun, or been seen last, so much earlier."""
    store = SessionStore(browser.cookies["sessionid"].value)
    for name, earlier in by.items():
        store[name] = (timezone.now() - earlier).isoformat()
    store.save()


def test_a_password_is_changed_by_whoever_knows_the_old_one() -> None:
    a_business()
    browser = a_sign_in(ada())

    change(browser)

    assert Person.objects.get(username="ada").check_password(OTHER)
    assert is_in(browser)
    entry = AuditEntry.objects.latest("seq")
    assert (entry.action, entry.actor) == ("change password", ada())
    assert OTHER not in str(entry.facts)


@pytest.mark.parametrize(
    ("entry", "sentence"),
    [
        ({"old": "not-it-at-all-today"}, "not your present password"),
        ({"old": f" {PASSWORD}"}, "not your present password"),
        ({"again": f"{OTHER} "}, "not what stands in the field above"),
        ({"new": "", "again": ""}, "This field is required"),
        ({"new": "x" * 257, "again": "x" * 257}, "at most 256 characters"),
    ],
)
def test_a_password_is_not_changed_by_a_wrong_form(
    entry: dict[str, str], sentence: str
) -> None:
    a_business()
    browser = a_sign_in(ada())

    response = change(browser, **entry, expect=422)

    assert any(sentence in fault for fault in faults(response)), faults(response)
    assert Person.objects.get(username="ada").check_password(PASSWORD)
    assert OTHER not in response.content.decode()


@pytest.mark.parametrize(
    ("password", "sentence"),
    [
        ("short of fifteen"[:14], "at least 15 characters"),
        ("x" * 300, "300 signs; 256 at most"),
        ("trowel-trowel-trowel-", "over and over"),
        ("qwertyuiopasdfghj", "walks along"),
        ("123456789012345", "walks along"),
        ("password1234567890", "many people have"),
        ("Fennick-and-Osei-2026", "letters and digits are left"),
        ("gaugerod-gaugerod-1", "letters and digits are left"),
        ("ada-lovage-lovage-x", "letters and digits are left"),
    ],
)
def test_what_a_stranger_would_try_early_is_refused(
    password: str, sentence: str
) -> None:
    a_business()
    person = Person(username="ada", first_name="Ada", last_name="Lovage")

    with pytest.raises(ValidationError) as refused:
        validate_password(password, person)

    assert any(sentence in one for one in refused.value.messages), refused.value


@pytest.mark.parametrize(
    "password",
    [
        "fifteen letters",
        "                \t.three",
        "nothing but small letters",
        "тёплый пол под плиткой",
        "瓷砖切割机和粉笔线绳子还有水平仪",
        "0" * 3 + "8215730946127",
        "a word, then another, " * 2 + "and so on to a length nobody would ever type",
        "z9" + "Qw7 lamp " * 28,
    ],
)
def test_any_signs_make_a_password_and_sixty_four_and_more_are_taken(
    password: str,
) -> None:
    a_business()
    validate_password(password, ada())


@pytest.mark.parametrize(
    "password", ["  a blank at each end  ", "tab\tat the end of\t"]
)
def test_a_password_counts_as_it_was_typed(password: str) -> None:
    a_business()
    browser = a_sign_in(ada())
    change(browser, new=password)

    stranger = Browser()
    trimmed = {"username": "ada", "password": password.strip()}
    send(stranger, "sign-in", expect=200, **trimmed)
    send(stranger, "sign-in", username="ada", password=password)

    assert is_in(stranger)


def test_somebody_added_with_blanks_at_the_ends_comes_in_with_them() -> None:
    a_business()
    word = "  chalk on a wet slate "
    send(signed_in(ada()), "people", name="Dora Finch", username="dora",
         role="setter", password=word)  # fmt: skip

    browser = Browser()
    send(browser, "sign-in", username="dora", password=word)

    assert is_in(browser)


@pytest.mark.parametrize("page", ["sign-in", "own-password"])
def test_passwords_may_be_pasted_and_filled_in(page: str) -> None:
    a_business()
    browser = a_sign_in(ada()) if page == "own-password" else Browser()
    markup = text_of(browser, page)

    fields = re.findall(r'<input type="password"[^>]*>', markup)
    assert fields
    for field in fields:
        assert re.search(r'autocomplete="(current|new)-password"', field)
        assert "onpaste" not in field
        assert "readonly" not in field


def test_a_changed_password_ends_all_other_sign_ins_and_is_told_by_mail() -> None:
    a_business()
    person = ada()
    person.email = "ada@example.org"
    person.save()
    here, there = a_sign_in(ada()), a_sign_in(ada(), agent=PHONE)

    change(here)

    assert (is_in(here), is_in(there)) == (True, False)
    assert SignIn.objects.get().session_key == here.cookies["sessionid"].value
    letter = Outgoing.objects.get()
    assert letter.recipient == "ada@example.org"
    assert "password of your sign-in was changed" in letter.body
    assert "http" not in letter.body
    assert OTHER not in letter.body


def test_wrong_old_passwords_are_guesses_too() -> None:
    a_business()
    browser = a_sign_in(ada())
    for _ in range(MOST):
        change(browser, old="a-wrong-old-password", expect=422)

    response = change(browser, expect=422)

    assert "too many wrong tries" in faults(response)[0]
    assert Person.objects.get(username="ada").check_password(PASSWORD)


def test_an_address_for_notices_is_kept_and_both_are_told() -> None:
    a_business()
    browser = a_sign_in(ada())
    send(browser, "own-address", email="ada@example.org")
    send(browser, "own-address", email="ada.fennick@example.org")

    sent = list(Outgoing.objects.values_list("recipient", flat=True))
    assert sent == ["ada@example.org", "ada@example.org", "ada.fennick@example.org"]
    assert "ada.fennick@example.org" in text_of(browser, "own-sign-in")
    response = send(browser, "own-address", email="no address", expect=422)
    assert 'value="no address"' in response.content.decode()


def test_a_person_reads_where_they_are_signed_in() -> None:
    a_business()
    here = a_sign_in(ada())
    a_sign_in(ada(), agent=PHONE, keep=True)
    a_sign_in(ben(), agent="Mozilla/5.0 (Windows NT 10.0) Chrome/140.0")

    page = text_of(here, "own-sign-in")

    rows = re.findall(r'<tr><th scope="row">(.*?)</th>', page)
    assert sorted(rows) == [
        "Computer, Linux, Firefox, this one",
        "Phone, Android, Firefox, your own",
    ]


def test_one_sign_in_is_ended_or_all_others_are() -> None:
    a_business()
    here = a_sign_in(ada())
    phone, tablet = a_sign_in(ada(), agent=PHONE), a_sign_in(ada())
    of_ben = a_sign_in(ben())
    one = SignIn.objects.get(device="phone")

    send(here, "end-sign-ins", which=str(one.pk))
    assert [is_in(each) for each in (here, phone, tablet)] == [True, False, True]

    send(here, "end-sign-ins", which="others")
    assert [is_in(each) for each in (here, tablet, of_ben)] == [True, False, True]


@pytest.mark.parametrize("which", ["", "0", "x", "1 OR 1=1"])
def test_nobody_ends_what_is_not_theirs(which: str) -> None:
    a_business()
    here, of_ben = a_sign_in(ada()), a_sign_in(ben())
    theirs = SignIn.objects.get(person=ben())

    send(here, "end-sign-ins", which=which or str(theirs.pk))

    assert is_in(of_ben)


def test_whose_access_ended_is_out_on_every_device_at_once() -> None:
    a_business()
    desk, phone = a_sign_in(ben()), a_sign_in(ben(), agent=PHONE)

    send(a_sign_in(ada()), "change-person", ben().pk, end="1")

    assert not is_in(desk)
    assert not is_in(phone)
    assert SignIn.objects.filter(person=ben()).count() == 0
    kept = Session.objects.values_list("session_key", flat=True)
    assert desk.cookies["sessionid"].value not in kept


def test_signing_out_ends_the_session_and_its_line() -> None:
    a_business()
    browser = a_sign_in(ada())
    cookie = browser.cookies["sessionid"].value

    send(browser, "sign-out")

    browser.cookies["sessionid"] = cookie
    assert not is_in(browser)
    assert SignIn.objects.count() == 0


def test_signing_in_makes_another_session() -> None:
    a_business()
    browser = Browser()
    planted = SessionStore()
    planted["x"] = 1
    planted.save()
    browser.cookies["sessionid"] = str(planted.session_key)
    ada().set_password(PASSWORD)
    person = ada()
    person.set_password(PASSWORD)
    person.save()

    send(browser, "sign-in", username="ada", password=PASSWORD)

    assert browser.cookies["sessionid"].value != planted.session_key
    assert not Session.objects.filter(session_key=planted.session_key).exists()


HOURS, DAYS = timedelta(hours=1), timedelta(days=1)


@pytest.mark.parametrize(
    ("keep", "began", "seen", "still"),
    [
        (False, 6 * DAYS, 11.9 * HOURS, True),
        (False, 1 * DAYS, 12 * HOURS, False),
        (False, 7 * DAYS, 0 * HOURS, False),
        (True, 60 * DAYS, 13.9 * DAYS, True),
        (True, 60 * DAYS, 14 * DAYS, False),
        (True, 90 * DAYS, 0 * DAYS, False),
    ],
)
def test_a_sign_in_ends_unused_and_in_all_whatever_the_cookie_says(
    keep: bool, began: timedelta, seen: timedelta, still: bool
) -> None:
    a_business()
    browser = a_sign_in(ada(), keep=keep)

    shift(browser, began=began, seen=seen)

    assert is_in(browser) is still
    assert SignIn.objects.exists() is still


@pytest.mark.parametrize(("keep", "days"), [(False, 0.5), (True, 14)])
def test_the_cookie_and_the_row_end_with_the_sign_in(keep: bool, days: float) -> None:
    a_business()
    browser = a_sign_in(ada(), keep=keep)

    assert browser.cookies["sessionid"]["max-age"] == days * 24 * 3600
    left = Session.objects.get().expire_date - timezone.now()
    assert timedelta(minutes=-1) < left - days * DAYS <= timedelta(0)


def test_a_sign_in_in_use_is_written_down_every_five_minutes() -> None:
    a_business()
    browser = a_sign_in(ada())
    earlier = timezone.now() - 3 * HOURS
    SignIn.objects.update(seen_at=earlier)

    assert is_in(browser)
    assert SignIn.objects.get().seen_at == earlier
    shift(browser, seen=timedelta(minutes=6))
    assert is_in(browser)
    assert SignIn.objects.get().seen_at > earlier + 2 * HOURS


def test_a_session_from_before_there_were_limits_is_over() -> None:
    a_business()
    browser = a_sign_in(ada())
    store = SessionStore(browser.cookies["sessionid"].value)
    del store[sign_ins.BEGAN]
    store.save()

    assert not is_in(browser)


def test_lines_without_a_session_are_not_shown_and_swept_away() -> None:
    a_business()
    a_sign_in(ada(), agent=PHONE)
    Session.objects.update(expire_date=timezone.now() - HOURS)

    here = a_sign_in(ada())

    assert text_of(here, "own-sign-in").count('<th scope="row">') == 1
    assert (SignIn.objects.count(), Session.objects.count()) == (1, 1)
