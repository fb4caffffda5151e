"""Hostile words in addresses, filters, wordings and letters: text, and nothing else."""

from __future__ import annotations

import hashlib
from html import unescape
from typing import Any
from urllib.parse import urljoin

import pytest
from django.apps import apps
from django.test import Client as Browser
from django.urls import reverse

from materials.core.errors import Refusal
from materials.models import Outgoing
from materials.services.outbox import one_address
from tests.service.office import (
    PASSWORD,
    a_business,
    a_pack,
    a_visit,
    ada,
    an_offer,
    new_key,
    send,
    signed_in,
    text_of,
)

pytestmark = pytest.mark.django_db

HERE = "http://testserver/sign-in/"
ELSEWHERE = [
    "https://evil.example/", "http://evil.example", "//evil.example", "///evil.example",
    "////evil.example", "/\\evil.example", "\\\\evil.example", "\\/evil.example",
    "/\t/evil.example", "/\n/evil.example", "/\r\n/evil.example", "\t//evil.example",
    " //evil.example", "//evil.example@testserver/", "//testserver@evil.example",
    "https://testserver@evil.example", "https://testserver.evil.example",
    "https://evil.example#testserver", "https://evil.example?testserver",
    "https:evil.example", "https:/evil.example", "https:///evil.example",
    "http:///evil.example", "HTTPS://EVIL.EXAMPLE", "javascript:alert(1)",
    "JaVaScRiPt:alert(1)", "java\nscript:alert(1)", "data:text/html,<script>",
    "vbscript:x", "file:///etc/passwd", "ftp://evil.example", "mailto:a@evil.example",
    "blob:https://evil.example/x", "//[::1]/", "//2130706433/", "//evil.example:80/",
    "https://evil。example", "//evil%E3%80%82example", "https://evil.example\\@testserver",
    "//evil.example/%2f..", "/\\/evil.example", "%2F%2Fevil.example\x00//evil.example",
    "\x00//evil.example", "\x01https://evil.example",
]  # fmt: skip


def test_the_corpus_of_ways_out_is_large_enough() -> None:
    assert len(set(ELSEWHERE)) >= 40


@pytest.mark.parametrize("way", ELSEWHERE)
def test_signing_in_leads_nowhere_else(way: str, settings: Any) -> None:
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
    person = ada()
    person.set_password(PASSWORD)
    person.save()
    entry = {"username": "ada", "password": PASSWORD, "next": way}
    answers = [
        signed_in(person).get(reverse("sign-in"), {"next": way}),
        Browser().post(reverse("sign-in"), entry),
        Browser().post(f"{reverse('sign-in')}?next=/visits/", entry),
    ]

    for answer in answers:
        assert answer.status_code == 302
        place = answer.headers["Location"]
        assert urljoin(HERE, place).startswith("http://testserver/"), place
        assert not place.startswith(("//", "/\\", "\\")), place
        assert place.isprintable(), place


ADDRESSES = [
    "c@d.test, x@evil.example", "c@d.test,x@evil.example", "c@d.test;x@evil.example",
    "c@d.test x@evil.example", "c@d.test\nBcc: x@evil.example",
    "c@d.test\r\nBcc: x@evil.example", "c@d.test%0aBcc:x@evil.example",
    "c@d.test\rX: y", "c@d.test\x00", "c@d.test\x0bx@evil.example",
    "Cleo <c@d.test>", "<c@d.test>", "c@d.test>",
    '"c@d.test, x"@evil.example, y@d.test',
    "c@d@evil.example", "@d.test", "c@", "c", "", " ", "c@d..test", "c@.test",
    "c@-d.test", "c@d.test.", "group:c@d.test,x@evil.example;",
    "c@d.test(x@evil.example)",
    "c@[127.0.0.1", "c @d.test", "c@d .test", "c\u2028@d.test", "c@d.test\u2029Bcc: x",
    "mailto:c@d.test,x@e.test", "'c@d.test','x@e.test'", "c@d.test|x", "c@" + "d" * 300,
    "a" * 65 + "@d.test, b@d.test", "c@evil.example\t,x@d.test", "=c@d.test\n",
]  # fmt: skip


@pytest.mark.parametrize("typed", ADDRESSES)
def test_one_address_is_one_address(typed: str) -> None:
    try:
        found = one_address(typed)
    except Refusal as refusal:
        found, said = "", refusal.sentence
    if not found:
        assert "is not one e-mail address" in said
        return
    assert found == typed.strip()
    assert found.isprintable()
    assert found.count("@") == 1
    assert not set(found) & set(" ,;<>()[]\\|\r\n")


@pytest.mark.parametrize("typed", ADDRESSES)
def test_no_letter_is_owed_to_a_second_reader(typed: str) -> None:
    a_business()
    number = an_offer().quote.number
    answer = signed_in(ada()).post(
        reverse("mail-quote", args=[number]),
        {"to": typed, "words": "As agreed", "request_key": new_key()},
    )

    assert answer.status_code in (302, 422)
    for row in Outgoing.objects.filter(kind="mail"):
        assert row.recipient == typed.strip()
        assert not set(row.recipient) & set(" ,;<>\r\n")


WORDS = [
    "' OR '1'='1", "'; DROP TABLE quotes_visit; --", '" OR ""="', "1; SELECT 1",
    "') UNION SELECT password FROM materials_person --", "%' AND 1=0 --", "\\'; --",
    "1 OR 1=1", "/**/OR/**/1=1", "0x31", "CHAR(39)", "%", "_", "%%", "\\", "''", '""',
    "{{ 7*7 }}", "{{ settings.SECRET_KEY }}", "{% load static %}", "{% debug %}",
    "{0.__class__.__mro__}", "{self}", "{}", "%(name)s", "%s%s%s%n", "${7*7}", "#{7*7}",
    "<%= 7*7 %>", "<script>heron()</script>", '"><svg onload=heron()>',
    "' onclick=h b='",
    "javascript:heron()", "-1", "0", "99999999999999999999", "1e308", "NaN", "last",
    "\u0661", "\ud7ff", "a\r\nSet-Cookie: heron=1", "x" * 3_000, "../../etc/passwd",
]  # fmt: skip
FILTERS = [
    ("visits", ("words", "page")),
    ("price-list", ("words", "kind", "page")),
    ("quotes", ("state", "page")),
    ("jobs", ("state", "page")),
    ("invoices", ("state", "page")),
    ("clients", ("page",)),
    ("rack", ("page",)),
    ("outbox", ("page",)),
    ("stairs", ("rise", "laid", "system")),
    ("first-guess", ("width", "length", "tile")),
]


def rows() -> str:
    """Return a digest of all that is stored."""
    kept = [
        list(model._base_manager.order_by("pk").values_list())
        for model in apps.get_models()
    ]
    return hashlib.sha256(repr(kept).encode()).hexdigest()


def test_a_filter_takes_them_as_words() -> None:
    a_pack()
    a_visit()
    owner = signed_in(ada())
    before = rows()

    for name, fields in FILTERS:
        # Where only the page's number is asked for, some of them are enough.
        for word in WORDS[:: 1 if len(fields) > 1 else 4]:
            answer = owner.get(reverse(name), dict.fromkeys(fields, word))
            page = answer.content.decode()
            assert answer.status_code in (200, 422), (name, word)
            assert "<svg onload" not in page, (name, word)
            assert "<script>heron" not in page, (name, word)
            assert "Set-Cookie: heron" not in str(answer.headers)
    assert rows() == before


def test_a_filter_that_matches_everything_matches_nothing() -> None:
    a_visit()
    owner = signed_in(ada())

    for word in ("'_OR_'1'='1", "%", "_"):
        page = owner.get(reverse("visits"), {"words": word}).content.decode()
        assert "A new shower at Weir Lane" not in page, word


# What an address line keeps as one line may not hold a line break.
WORDINGS = [word for word in WORDS if len(word) < 100 and "\n" not in word]


TYPED_SO = ("{{ settings.SECRET_KEY }}", "{0.__class__.__mro__}", "%s%s%s%n",
            "{% debug %}", "${7*7}", "'; DROP TABLE quotes_visit; --")  # fmt: skip


def test_wordings_are_printed_as_they_were_typed() -> None:
    """Terms, lines, names and letters: no template, no format, no markup."""
    a_business()
    visit = a_visit(title="{{ 7*7 }} {0.__class__}", client_name="%(name)s <b>h</b>")
    owner = signed_in(ada())
    for word in WORDINGS:
        send(owner, "choice", visit.uid, "hand-line", text=word, quantity="1",
             unit_cost="1", unit_price="2", cost_class="labour")  # fmt: skip
    everything = "\n".join(WORDINGS)
    send(owner, "choice", visit.uid, "terms", scope=everything, exclusions=everything,
         text=everything)  # fmt: skip

    offer = an_offer(visit)
    number = offer.quote.number
    pages = {
        "price": text_of(owner, "price", visit.uid),
        "quote": text_of(owner, "quote", number),
        "letter": text_of(owner, "mail-quote", number),
        "visit": text_of(owner, "visit", visit.uid),
        "visits": text_of(owner, "visits"),
        "quotes": text_of(owner, "quotes"),
    }

    for name, page in pages.items():
        assert "<svg onload" not in page, name
        assert "<script>heron" not in page, name
        assert "<b>h</b>" not in page, name
    for name in ("price", "quote"):
        for word in TYPED_SO:
            assert word in unescape(pages[name]), (name, word)
    for name in ("visits", "visit"):
        assert "{{ 7*7 }} {0.__class__}" in unescape(pages[name])
