"""A quote from draft to its end: frozen, revised, linked, accepted or declined."""

from __future__ import annotations

import io
from datetime import timedelta
from typing import Any

import pytest
from django.test import Client as Browser
from django.urls import reverse
from django.utils import timezone
from pypdf import PdfReader

from materials.core import amounts
from materials.models import AuditEntry, Business, Pack, StoredFile
from materials.models.guarding import lowered
from quotes.models import Acceptance, OfferLink, Quote, Revision, Visit
from quotes.services import make_link
from tests.service.office import (
    WALL,
    a_business,
    a_draft,
    a_hand_line,
    a_space,
    a_stocked_business,
    a_visit,
    ada,
    an_offer,
    ben,
    new_key,
    send,
    signed_in,
    text_of,
)

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _kept_files(settings: Any, tmp_path: Any) -> None:
    settings.MEDIA_ROOT = tmp_path


def act(revision: Revision, what: str, **data: str) -> Revision:
    """Press a button of the quote's page; return the revision read again."""
    send(signed_in(ada()), "act-on-quote", revision.quote.number, what, **data)
    return Revision.objects.select_related("quote").get(pk=revision.pk)


def paper_text(data: bytes) -> str:
    pages = PdfReader(io.BytesIO(data)).pages
    return " ".join(" ".join(page.extract_text().split()) for page in pages)


def test_hand_typed_lines_alone_go_to_accepted_at_the_least_charge() -> None:
    a_business(least="180.00")
    visit, browser = a_visit(), signed_in(ada())
    send(browser, "choice", visit.uid, "hand-line", text="Reseal one corner",
         quantity="1", unit_price="45.00", cost_class="labour")  # fmt: skip
    send(browser, "make-quote", visit.uid)
    revision = Revision.objects.get()

    act(revision, "offer")
    revision.refresh_from_db()
    send(browser, "accept-here", revision.quote.number, typed_name="Mrs Okafor",
         digest=revision.digest)  # fmt: skip

    revision.refresh_from_db()
    assert revision.state == "accepted"
    assert revision.net == amounts.money("180.00", "GBP")
    assert revision.tax == amounts.money("36.00", "GBP")
    assert revision.gross == amounts.money("216.00", "GBP")


def test_quotes_are_numbered_by_the_year_without_a_gap() -> None:
    numbers = [a_draft().quote.number for _ in range(3)]

    year = timezone.localdate().year
    assert numbers == [f"Q{year}-{place:04d}" for place in (1, 2, 3)]


def test_a_draft_follows_the_visit_only_when_it_is_priced_again() -> None:
    draft = a_draft()
    a_hand_line(draft.quote.visit, "60.00")
    page = text_of(signed_in(ada()), "quote", draft.quote.number)
    before = draft.net

    refused = act(draft, "offer")
    after = act(draft, "reprice")

    assert "700.00" not in page
    assert refused.state == "drafting"
    assert (before, after.net) == (
        amounts.money("640.00", "GBP"),
        amounts.money("700.00", "GBP"),
    )
    assert act(draft, "offer").state == "offered"


def test_an_offer_is_frozen_whatever_the_visit_and_rates_do() -> None:
    offer = act(a_draft(), "offer")
    before = Revision.objects.values().get(pk=offer.pk)
    a_hand_line(offer.quote.visit, "9999.00")

    for what in ("reprice", "offer"):
        act(offer, what)

    assert Revision.objects.values().get(pk=offer.pk) == before
    assert before["digest"] == offer.digest


def test_a_revision_replaces_the_offer_when_it_goes_out() -> None:
    first = an_offer()
    a_hand_line(first.quote.visit, "60.00")

    act(first, "revise")
    second = Revision.objects.get(letter="B")
    assert act(first, "revise").state == "offered"
    assert Revision.objects.count() == 2
    act(second, "offer")

    states = dict(Revision.objects.values_list("letter", "state"))
    assert states == {"A": "replaced", "B": "offered"}
    first.refresh_from_db()
    assert first.net == amounts.money("640.00", "GBP")


@pytest.mark.parametrize("state", ["drafting", "offered"])
def test_what_is_not_accepted_can_be_withdrawn_with_a_word(state: str) -> None:
    revision = a_draft() if state == "drafting" else an_offer()

    after = act(revision, "withdraw", words="sizes were wrong")

    assert (after.state, after.end_words) == ("withdrawn", "sizes were wrong")


def test_an_accepted_quote_takes_no_more_acts() -> None:
    offer = an_offer()
    send(signed_in(ada()), "accept-here", offer.quote.number, typed_name="Mrs Okafor",
         digest=offer.digest)  # fmt: skip
    before = Revision.objects.values().get(pk=offer.pk)

    for what in ("reprice", "revise", "withdraw"):
        act(offer, what)

    assert Revision.objects.values().get() == before


def test_an_unknown_act_is_nowhere() -> None:
    offer = an_offer()
    send(signed_in(ada()), "act-on-quote", offer.quote.number, "burn", expect=404)


def link_of(offer: Revision) -> tuple[OfferLink, str]:
    return make_link(revision=offer, at=timezone.now(), person=ada(), key=new_key())


def test_looking_at_a_link_changes_no_money_and_no_state() -> None:
    offer = an_offer()
    _link, token = link_of(offer)
    seen = [
        list(model.objects.values())
        for model in (Revision, Acceptance, Quote, Visit, AuditEntry, StoredFile)
    ]

    page = Browser().get(reverse("offer", args=[token]))
    paper = Browser().get(reverse("offer-paper", args=[token]))

    assert page.status_code == paper.status_code == 200
    assert "768.00" in page.content.decode()
    assert "768.00" in paper_text(paper.content)
    assert page.headers["Cache-Control"] == "no-store"
    assert "noindex" in page.headers["X-Robots-Tag"]
    assert seen == [
        list(model.objects.values())
        for model in (Revision, Acceptance, Quote, Visit, AuditEntry, StoredFile)
    ]


def test_the_client_s_page_tells_neither_cost_nor_margin() -> None:
    visit = a_visit()
    send(signed_in(ada()), "choice", visit.uid, "hand-line", text="Take the floor up",
         quantity="1", unit_cost="411.17", unit_price="640.00",
         cost_class="labour")  # fmt: skip
    _link, token = link_of(an_offer(visit))

    page = Browser().get(reverse("offer", args=[token])).content.decode()
    paper = Browser().get(reverse("offer-paper", args=[token])).content

    for text in (page, paper_text(paper)):
        assert "640.00" in text
        assert "411.17" not in text
        assert "argin" not in text.replace("margin:", "")


@pytest.mark.parametrize("name", ["offer", "offer-paper", "decline-offer"])
def test_unknown_ended_and_revoked_links_answer_alike_to_the_byte(name: str) -> None:
    offer = an_offer()
    ended, ended_token = link_of(offer)
    revoked, revoked_token = link_of(offer)
    past = timezone.now() - timedelta(days=1)
    with lowered():
        OfferLink.objects.filter(pk=ended.pk).update(expires_at=past)
    send(signed_in(ada()), "revoke-link", revoked.pk)
    browser = Browser()
    ask = browser.post if name == "decline-offer" else browser.get

    answers = [
        ask(reverse(name, args=[token]))
        for token in ("A" * 43, ended_token, revoked_token)
    ]

    assert {answer.status_code for answer in answers} == {404}
    assert len({answer.content for answer in answers}) == 1
    offer.refresh_from_db()
    assert offer.state == "offered"


def test_a_client_declines_by_link_once_with_a_word() -> None:
    offer = an_offer()
    _link, token = link_of(offer)

    send(Browser(), "decline-offer", token, words="too dear")
    send(Browser(), "decline-offer", token, words="again")

    offer.refresh_from_db()
    assert (offer.state, offer.end_words) == ("declined", "too dear")
    assert AuditEntry.objects.filter(action="declined quote").count() == 1


def test_a_declined_offer_cannot_be_accepted() -> None:
    offer = an_offer()
    _link, token = link_of(offer)
    send(Browser(), "decline-offer", token)

    send(Browser(), "accept-offer", token, expect=422, agree="1",
         typed_name="Mrs Okafor", digest=offer.digest)  # fmt: skip

    assert Acceptance.objects.count() == 0


def test_accepting_twice_is_one_acceptance() -> None:
    offer = an_offer()
    _link, token = link_of(offer)
    answer = {"agree": "1", "typed_name": "Mrs Okafor", "digest": offer.digest}

    for _ in range(2):
        send(Browser(), "accept-offer", token, **answer)

    acceptance = Acceptance.objects.get()
    assert acceptance.document_digest == offer.digest
    assert acceptance.gross == amounts.money("768.00", "GBP")
    assert acceptance.evidence["total_shown"] == "768.00"


def test_only_the_link_s_digest_is_kept() -> None:
    link, token = link_of(an_offer())

    assert token not in str(OfferLink.objects.values().get(pk=link.pk))
    assert len(link.token_digest) == 64


def test_the_paper_is_made_once_and_kept() -> None:
    draft = a_draft()
    offer = act(draft, "offer")
    browser = signed_in(ada())
    first = browser.get(reverse("quote-paper", args=[offer.quote.number, "A"])).content

    act(offer, "offer")
    Business.objects.update(name="Another name")
    again = browser.get(reverse("quote-paper", args=[offer.quote.number, "A"])).content

    assert StoredFile.objects.count() == 1
    assert first == again
    text = paper_text(first)
    for figure in ("640.00", "128.00", "768.00", offer.quote.number, "Mrs Okafor"):
        assert figure in text


def test_a_quote_of_another_person_s_eyes_is_nowhere_for_a_setter() -> None:
    offer = an_offer()
    browser = signed_in(ben())

    for name, args in (
        ("quote", [offer.quote.number]),
        ("quote-paper", [offer.quote.number, "A"]),
    ):
        answer = browser.get(reverse(name, args=args))
        assert answer.status_code == 403


def test_a_later_price_changes_drafts_only() -> None:
    a_stocked_business()
    space = a_space()
    take = {"template": "kitchen-wall"}
    browser = signed_in(ada())
    send(browser, "build-ups", space.visit.uid, **take)
    send(browser, "add-surface", space.uid, **{**WALL, "build_up": "kitchen-wall"})
    visit = Visit.objects.get()
    offer, draft = an_offer(visit), a_draft(visit)
    frozen = Revision.objects.values().get(pk=offer.pk)
    pack = Pack.objects.filter(material__code="TL-WH-S").first()
    assert pack is not None

    send(browser, "change-price", pack.pk, amount="999.00", least_packs="1",
         valid_from=timezone.localdate().isoformat())  # fmt: skip
    for revision in (offer, draft):
        send(browser, "act-on-quote", revision.quote.number, "reprice")

    assert Revision.objects.values().get(pk=offer.pk) == frozen
    draft_now = Revision.objects.get(pk=draft.pk)
    assert draft_now.cost > draft.cost
    assert draft_now.gross > draft.gross
