"""What a role reads on the pages it may open, and what stays hidden from it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import pytest
from django.db import transaction
from django.test.utils import override_settings
from django.urls import reverse
from django.utils import timezone

from materials.models import StoredFile
from quotes.models import Surface
from quotes.services import make_link
from tests.service.office import (
    WALL,
    a_hand_line,
    a_space,
    a_stocked_business,
    ada,
    ben,
    inline_in,
    new_key,
    olive,
    send,
    signed_in,
    text_of,
)

pytestmark = pytest.mark.django_db

PRICE_OF_LINE = "641.37"
COST_OF_LINE = "411.17"


@dataclass(frozen=True, slots=True)
class Office:
    """A measured, priced and offered visit, and the arguments of its addresses."""

    places: dict[str, list[Any]]


@pytest.fixture(scope="module")
def office(
    django_db_setup: None, django_db_blocker: Any, tmp_path_factory: Any
) -> Iterator[Office]:
    """Measure, price and offer a visit once; each test reads it in a savepoint."""
    with (
        django_db_blocker.unblock(),
        override_settings(MEDIA_ROOT=tmp_path_factory.mktemp("media")),
        transaction.atomic(),
    ):
        yield _stood_up()
        transaction.set_rollback(True)


def _stood_up() -> Office:
    a_stocked_business()
    space, owner = a_space(), signed_in(ada())
    visit = space.visit
    send(owner, "build-ups", visit.uid, template="kitchen-wall")
    send(owner, "add-surface", space.uid, **{**WALL, "build_up": "kitchen-wall"})
    a_hand_line(visit, PRICE_OF_LINE)
    send(owner, "make-quote", visit.uid)
    quote = visit.quotes.get()
    send(owner, "act-on-quote", quote.number, "offer")
    _link, token = make_link(
        revision=quote.revisions.get(),
        at=timezone.now(),
        person=ada(),
        key=new_key(),
    )
    of_visit = ("visit", "build-ups", "buy", "price", "make-quote", "cut-list")
    surface = Surface.objects.get()
    return Office(
        {
            **{name: [visit.uid] for name in of_visit},
            "kept-file": [StoredFile.objects.get().digest],
            "choice": [visit.uid, "hand-line"],
            "surface": [surface.uid],
            "set-outs": [surface.uid],
            "quote": [quote.number],
            "offer": [token],
        }
    )


def test_a_setter_reads_no_price_of_sale_and_no_margin(office: Office) -> None:
    send(signed_in(ada()), "choice", *office.places["choice"], text="Haul away",
         quantity="1", unit_cost=COST_OF_LINE, unit_price="777.31",
         cost_class="disposal")  # fmt: skip
    owner = text_of(signed_in(ada()), "price", *office.places["price"])
    assert PRICE_OF_LINE in owner
    assert "777.31" in owner

    for name in ("buy", "visit", "visits", "surface", "build-ups", "add-visit"):
        page = text_of(signed_in(ben()), name, *office.places.get(name, []))
        shown = re.sub(r"<svg.*?</svg>", "", page, flags=re.S)
        for figure in (PRICE_OF_LINE, "777.31", COST_OF_LINE, "31.37", "Margin",
                       "margin", "arkup"):  # fmt: skip
            assert figure not in shown, (name, figure)
        for address in ("price", "make-quote"):
            assert reverse(address, args=office.places["visit"]) not in page, name


def test_the_office_reads_prices_but_no_margin(office: Office) -> None:
    page = text_of(signed_in(olive()), "quote", *office.places["quote"])
    owners = text_of(signed_in(ada()), "quote", *office.places["quote"])

    assert PRICE_OF_LINE in page
    assert "Earned before tax" in owners
    assert "Earned before tax" not in page


@pytest.mark.parametrize("name", ["visit", "surface", "set-outs", "buy", "cut-list",
                                  "price", "quote", "offer"])  # fmt: skip
def test_no_page_with_drawings_holds_inline_style_or_script(
    office: Office, name: str
) -> None:
    page = text_of(signed_in(ada()), name, *office.places[name])

    assert "<svg" in page
    assert inline_in(page) == []


def test_a_kept_paper_is_shut_in_and_not_for_a_setter(office: Office) -> None:
    address = reverse("kept-file", args=office.places["kept-file"])
    answer = signed_in(olive()).get(address)
    setter = signed_in(ben())
    setters, nowhere = setter.get(address), setter.get(f"/kept/{'0' * 64}/")

    assert answer.headers["Content-Security-Policy"].startswith("sandbox")
    assert answer.headers["Content-Disposition"].startswith("attachment")
    assert setters.status_code == nowhere.status_code == 404
    assert "There is no such page" in setters.content.decode()
