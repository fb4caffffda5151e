"""The pages: a job walked from acceptance to paid, and what each role may not see."""

from __future__ import annotations

import io
import re
from dataclasses import replace
from datetime import date
from fractions import Fraction
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client as Browser
from django.urls import reverse
from django.utils import timezone
from PIL import Image
from pypdf import PdfReader

from jobs import queries
from jobs.models import (
    DaySheet,
    GoodsReturn,
    Invoice,
    Job,
    OffcutMove,
    Payment,
    Purchase,
    Series,
    Usage,
    Variation,
)
from jobs.presenters.invoices import issued_sheet
from materials.models import Person, StoredFile, Supplier
from materials.models.guarding import lowered
from quotes.models import Acceptance, Revision
from quotes.services import make_link
from tests.service.jobs.booked import (
    a_business,
    a_job,
    a_revision,
    ada,
    ben,
    line_of,
    new_key,
    olive,
    usd,
)

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _kept_files(settings: Any, tmp_path: Any) -> None:
    settings.MEDIA_ROOT = tmp_path / "media"
    settings.STATIC_ROOT = tmp_path / "static"
    settings.STATIC_ROOT.mkdir()


def signed_in(person: Person) -> Browser:
    browser = Browser()
    browser.force_login(person)
    return browser


def text_of(browser: Browser, name: str, *args: object) -> str:
    response = browser.get(reverse(name, args=args))
    assert response.status_code == 200, (name, response.status_code)
    return response.content.decode()


def send(browser: Browser, name: str, *args: object, **data: Any) -> Any:
    """Send a form; `expect` is the status that must come back."""
    expect = data.pop("expect", 302)
    data.setdefault("request_key", new_key())
    response = browser.post(reverse(name, args=args), data)
    assert response.status_code == expect, (name, _faults(response))
    return response


def _faults(response: Any) -> list[str]:
    return re.findall(r'class="w(?:rong|arn)"[^>]*>(.*?)<', response.content.decode())


def a_photo() -> SimpleUploadedFile:
    out = io.BytesIO()
    Image.new("RGB", (40, 30), "white").save(out, "JPEG")
    return SimpleUploadedFile("receipt.jpg", out.getvalue(), "image/jpeg")


def test_an_offer_accepted_on_the_setter_s_screen_becomes_a_job() -> None:
    a_business()
    revision = a_revision(state="offered", holds_until=date(2999, 1, 1))
    browser = signed_in(ada())

    for _ in range(2):
        send(
            browser,
            "accept-here",
            "Q-0147",
            typed_name="Mrs Okafor",
            digest=revision.digest,
        )

    assert Job.objects.count() == Acceptance.objects.count() == 1
    job = Job.objects.get()
    response = browser.get(reverse("job-of-quote", args=["Q-0147"]))
    assert response.headers["Location"] == reverse("job", args=[job.number])


def test_the_client_accepts_on_the_private_page_and_gets_one_job() -> None:
    a_business()
    revision = a_revision(state="offered", holds_until=date(2999, 1, 1))
    revision.refresh_from_db()
    _link, token = make_link(
        revision=revision, at=timezone.now(), person=ada(), key=new_key()
    )
    client = Browser()
    answer = {"typed_name": "Mrs Okafor", "digest": revision.digest}

    refused = send(client, "accept-offer", token, expect=422, **answer)
    stale = send(client, "accept-offer", token, expect=422, agree="1",
                 typed_name="Mrs Okafor", digest="0" * 64)  # fmt: skip
    nobody = send(client, "accept-offer", "wrong-token", expect=404, agree="1")
    assert Job.objects.count() == Acceptance.objects.count() == 0
    for _ in range(2):
        send(client, "accept-offer", token, agree="1", **answer)

    assert "Tick that you accept" in refused.content.decode()
    assert 'value="Mrs Okafor"' in stale.content.decode()
    assert nobody.status_code == 404
    acceptance, job = Acceptance.objects.get(), Job.objects.get()
    assert (acceptance.way, acceptance.options) == ("link", ["a"])
    assert job.made_by is None
    page = text_of(client, "offer", token)
    thanks = "Thank you, Mrs Okafor: you have accepted this quote on "
    assert page.index(thanks) < page.index("What it comes to")
    for name in ("job", "job-cost", "job-invoices"):
        response = client.get(reverse(name, args=[job.number]))
        assert "sign-in" in response.headers["Location"]


def test_the_private_address_is_shown_once_with_ways_to_hand_it_on() -> None:
    a_business()
    a_revision(state="offered", holds_until=date(2999, 1, 1))
    browser = signed_in(ada())

    send(browser, "act-on-quote", "Q-0147", "link")
    first = browser.get(reverse("quote", args=["Q-0147"])).content.decode()
    second = browser.get(reverse("quote", args=["Q-0147"])).content.decode()

    assert re.search(r'id="private-address">http://testserver/\S+</p>', first)
    assert 'data-act="copy"' in first
    assert 'data-act="share"' in first
    assert "js/hand.js" in first
    assert "private-address" not in second


def test_an_acceptance_that_cannot_make_a_job_is_not_kept() -> None:
    a_business()
    revision = a_revision(state="offered", holds_until=date(2999, 1, 1))
    Series.objects.create(kind="job", year=0, last=10**9 - 1)

    send(
        signed_in(ada()),
        "accept-here",
        "Q-0147",
        typed_name="Mrs Okafor",
        digest=revision.digest,
    )

    assert Acceptance.objects.count() == Job.objects.count() == 0
    assert Revision.objects.get().state == "offered"


def test_a_purchase_with_its_receipt_is_recorded_from_the_page() -> None:
    job = a_job()
    browser = signed_in(ben())
    text_of(browser, "record-purchase", job.number)

    send(
        browser,
        "record-purchase",
        job.number,
        supplier=Supplier.objects.get().pk,
        bought_on="2026-05-15",
        here="on",
        tax_rate="0",
        tax_recoverable="on",
        photo=a_photo(),
        **{
            "line1-budget_line": line_of(job, "material:tile").pk,
            "line1-packs": "8",
            "line1-price_each": "69.90",
            "line1-lot": "L-7",
            "line2-text": "Drill bit",
            "line2-cost_class": "materials",
            "line2-packs": "1",
            "line2-price_each": "9.90",
        },
    )

    purchase = Purchase.objects.get()
    assert purchase.photo is not None
    assert [line.net for line in purchase.lines.all()] == [usd("559.20"), usd("9.90")]
    shown = text_of(browser, "job", job.number)
    assert "L-7" in shown
    assert "nobody budgeted this" in shown


def test_a_wrong_line_says_what_is_wrong_and_keeps_what_was_typed() -> None:
    job = a_job()

    response = send(
        signed_in(ben()),
        "record-purchase",
        job.number,
        expect=422,
        bought_on="2026-05-15",
        **{"line1-text": "Drill bit", "line1-packs": "2", "line1-price_each": "12,50"},
    )

    shown = response.content.decode()
    assert "is not an amount" in shown
    assert 'value="12,50"' in shown
    assert 'value="Drill bit"' in shown
    assert Purchase.objects.count() == 0


def test_a_photo_is_kept_when_the_rest_of_the_form_comes_back() -> None:
    job = a_job()
    browser = signed_in(ben())
    line = {"line1-text": "Drill bit", "line1-packs": "2", "line1-price_each": "12,50"}
    response = send(browser, "record-purchase", job.number, expect=422,
                    bought_on="2026-05-15", photo=a_photo(), **line)  # fmt: skip
    kept = StoredFile.objects.get().digest
    assert kept in response.content.decode()

    send(browser, "record-purchase", job.number, bought_on="2026-05-15", kept=kept,
         **(line | {"line1-price_each": "12.50"}))  # fmt: skip

    photo = Purchase.objects.get().photo
    assert photo is not None
    assert photo.digest == kept


def test_a_file_that_is_no_photo_is_refused_by_a_sentence() -> None:
    job = a_job()
    upload = SimpleUploadedFile("receipt.jpg", b"<script>", "image/jpeg")

    response = send(signed_in(ben()), "record-purchase", job.number, expect=422,
                    bought_on="2026-05-15", photo=upload,
                    **{"line1-text": "Bit", "line1-packs": "1",
                       "line1-price_each": "9"})  # fmt: skip

    assert "take the photo again" in response.content.decode()
    assert Purchase.objects.count() == 0


def test_use_return_offcut_and_hours_are_recorded_from_their_pages() -> None:
    job = a_job()
    browser = signed_in(ben())
    tile, pan = line_of(job, "material:tile"), line_of(job, "material:pan")
    send(
        browser,
        "record-purchase",
        job.number,
        bought_on="2026-05-15",
        here="on",
        **{
            "line1-budget_line": tile.pk,
            "line1-packs": "8",
            "line1-price_each": "70",
            "line2-budget_line": pan.pk,
            "line2-packs": "1",
            "line2-price_each": "268",
        },
    )
    bought = Purchase.objects.get().lines.first()
    assert bought is not None
    send(browser, "record-use", job.number, line=tile.pk, how="used",
         quantity="62 1/2", on="2026-05-20")  # fmt: skip
    send(browser, "record-return", job.number, line=bought.pk, packs="1",
         credit="63.00", on="2026-05-21")  # fmt: skip
    send(signed_in(ada()), "keep-offcut", job.number, line=pan.pk, width="5 3/4",
         height="4'", value="21.40", on="2026-05-19")  # fmt: skip
    send(browser, "record-day", job.number, worker=ben().pk, on="2026-05-18",
         **{"line1-budget_line": line_of(job, "labour:set").pk, "line1-hours": "7.5",
            "line1-role": "setter", "line2-role": "setter"})  # fmt: skip
    move = OffcutMove.objects.get()
    send(browser, "use-offcut", job.number, offcut=move.offcut_id, on="2026-05-22")

    assert Usage.objects.count() == GoodsReturn.objects.count() == 1
    assert DaySheet.objects.get().person == ben()
    assert OffcutMove.objects.count() == 2
    assert job.budget["system"] == "imperial"
    assert Usage.objects.get().quantity == Fraction("5.80644")
    assert "62.5\u00a0sq ft" in text_of(browser, "job", job.number)
    shown = text_of(signed_in(ada()), "job-cost", job.number)
    assert "78.88" in shown
    assert "21.40" in shown


def test_a_job_is_invoiced_paid_and_credited_from_its_pages() -> None:
    job = a_job()
    browser = signed_in(ada())
    send(browser, "ask-share", job.number, "deposit", share="30", title="Deposit")
    invoice = Invoice.objects.get()
    assert "A draft" in text_of(browser, "invoice", invoice.uid)

    send(browser, "issue-invoice", invoice.uid)
    send(browser, "pay-invoice", invoice.uid, amount="1000", on="2026-06-02",
         way="transfer")  # fmt: skip
    assert "824.32" in text_of(browser, "invoice", invoice.uid)
    asked = send(browser, "pay-invoice", invoice.uid, amount="8243.20", expect=422,
                 on="2026-06-03", way="cash")  # fmt: skip
    assert "824.32 is open" in asked.content.decode()
    assert 'name="keep_more"' in asked.content.decode()
    assert Payment.objects.count() == 1
    send(browser, "pay-invoice", invoice.uid, amount="824.32", on="2026-06-03",
         way="cash")  # fmt: skip
    send(browser, "ask-rest", job.number)
    final = Invoice.objects.get(kind="final")
    send(browser, "issue-invoice", final.uid)
    assert "4,256.75" in text_of(browser, "invoice", final.uid)
    assert "4,256.75" in text_of(browser, "statement")
    send(browser, "credit-invoice", final.uid, reason="Agreed")

    invoice.refresh_from_db()
    final.refresh_from_db()
    assert (invoice.state, final.state) == ("settled", "settled")
    assert Payment.objects.count() == 2
    assert "C-" in text_of(browser, "invoices")
    assert "Nothing is open" in text_of(browser, "statement")
    assert "C-" in text_of(browser, "job-invoices", job.number)


def test_the_paper_says_what_the_page_says() -> None:
    job = a_job()
    browser = signed_in(olive())
    send(browser, "ask-share", job.number, "deposit", share="30", title="Deposit, 30 %")
    send(browser, "issue-invoice", Invoice.objects.get().uid)
    send(browser, "ask-rest", job.number)
    final = Invoice.objects.get(kind="final")
    send(browser, "issue-invoice", final.uid)

    first = browser.get(reverse("invoice-paper", args=[final.uid]))
    second = browser.get(reverse("invoice-paper", args=[final.uid]))

    assert first.content == second.content
    final.refresh_from_db()
    assert final.pdf is not None
    pages = PdfReader(io.BytesIO(first.content)).pages
    words = " ".join(page.extract_text() for page in pages)
    for figure in ("5,940.00", "141.07", "6,081.07", "1,824.32", "4,256.75",
                   "2,257.13", "3,682.87", "1,782.00", "42.32", "98.75",
                   str(final.number), "Mrs Okafor",
                   "taxed at 6.25", "without tax",
                   "Deposit, 30 %", "Ferry Mutual", "Licence 00-0000"):  # fmt: skip
        assert figure in words, figure


def test_a_column_of_amounts_before_tax_stands_only_where_rates_differ() -> None:
    job = a_job()
    browser = signed_in(olive())
    send(browser, "ask-rest", job.number)
    send(browser, "issue-invoice", Invoice.objects.get().uid)
    stored = queries.issued_document(Invoice.objects.get())
    one_rate = replace(
        stored,
        lines=tuple(line for line in stored.lines if line.rate),
        taxes=tuple(tax for tax in stored.taxes if tax.rate),
    )

    two, one = issued_sheet(stored), issued_sheet(one_rate)

    assert [head.word for head in two.columns] == [
        "taxed at 6.25\u00a0%", "without tax"
    ]  # fmt: skip
    assert one.columns == one.column_sums == ()
    assert {row.parts for row in one.rows} == {()}
    assert one.taxes[0].word == "Sales tax 6.25\u00a0%"


def test_a_draft_has_no_paper() -> None:
    job = a_job()
    browser = signed_in(ada())
    send(browser, "ask-rest", job.number)
    invoice = Invoice.objects.get()

    response = browser.get(reverse("invoice-paper", args=[invoice.uid]))
    send(browser, "refresh-invoice", invoice.uid)
    send(browser, "discard-invoice", invoice.uid)

    assert response.status_code == 302
    assert Invoice.objects.count() == 0


def test_a_document_that_was_changed_since_is_not_shown() -> None:
    job = a_job()
    invoice = an_issued_invoice(job)
    with lowered():
        Invoice.objects.filter(pk=invoice.pk).update(digest="0" * 64, pdf=None)
    browser = signed_in(ada())

    response = browser.get(reverse("invoice", args=[invoice.uid]), follow=True)
    paper = browser.get(reverse("invoice-paper", args=[invoice.uid]))

    assert "restore it from a backup" in response.content.decode()
    assert paper.status_code == 302


def test_a_change_is_written_agreed_and_invoiced_from_its_pages() -> None:
    job = a_job()
    browser = signed_in(ada())
    send(browser, "add-variation", job.number, text="A second niche", way="more",
         net="240", cost="150", cost_class="labour", tax="O 0")  # fmt: skip
    number = Variation.objects.get().number
    send(browser, "settle-variation", job.number, number, agreed_by="Mrs Okafor")

    send(browser, "ask-rest", job.number, variation=number)

    assert Invoice.objects.get().gross == usd("240.00")
    assert queries.contract_of(job).totals.gross == usd("6321.07")


def test_a_job_moves_on_from_its_page_and_only_the_owner_closes_it() -> None:
    job = a_job()
    setter = signed_in(ben())
    for state in ("on_site", "snagging", "complete"):
        send(setter, "move-job", job.number, state=state)
    send(setter, "move-job", job.number, state="closed", expect=404)

    send(signed_in(ada()), "move-job", job.number, state="closed")

    job.refresh_from_db()
    assert job.state == "closed"
    assert setter.get(reverse("job", args=[job.number])).status_code == 404


MONEY_PAGES = [
    ("job-cost", "job"),
    ("job-invoices", "job"),
    ("invoices", ""),
    ("statement", ""),
    ("invoice", "invoice"),
    ("invoice-paper", "invoice"),
    ("credit-invoice", "invoice"),
    ("add-variation", "job"),
]
MONEY_ACTS = [
    ("issue-invoice", "invoice"),
    ("pay-invoice", "invoice"),
    ("credit-invoice", "invoice"),
    ("discard-invoice", "invoice"),
    ("refresh-invoice", "invoice"),
    ("ask-rest", "job"),
    ("accept-here", "quote"),
]


def _args(kind: str, job: Job, invoice: Invoice) -> list[object]:
    known: dict[str, list[object]] = {
        "": [],
        "job": [job.number],
        "invoice": [invoice.uid],
        "quote": ["Q-0147"],
    }
    return known[kind]


def an_issued_invoice(job: Job) -> Invoice:
    browser = signed_in(ada())
    send(browser, "ask-share", job.number, "deposit", share="30", title="Deposit")
    invoice = Invoice.objects.get()
    send(browser, "issue-invoice", invoice.uid)
    return invoice


def test_a_setter_opens_no_page_of_money() -> None:
    job = a_job()
    invoice = an_issued_invoice(job)
    browser = signed_in(ben())

    for name, kind in MONEY_PAGES:
        response = browser.get(reverse(name, args=_args(kind, job, invoice)))
        assert response.status_code in (403, 404), name
    for name, kind in MONEY_ACTS:
        response = browser.post(
            reverse(name, args=_args(kind, job, invoice)), {"request_key": new_key()}
        )
        assert response.status_code in (403, 404), name
    assert queries.invoice_for(ben(), str(invoice.uid)) is None
    assert Invoice.objects.count() == 1


SALE_FIGURES = ("5,940.00", "5940", "6,081.07", "6081", "712.63", "1,433.37", "512.50")
WAGES = ("46.00", "690.00", "805.00", "14.50", "217.50")
MARGINS = ("71.8", "4,266.10", "1,673.90")


def test_a_setter_reads_no_price_of_sale_no_margin_and_no_wage() -> None:
    job = a_job()
    browser = signed_in(ben())
    send(browser, "record-day", job.number, worker=ben().pk, on="2026-05-18",
         **{"line1-budget_line": line_of(job, "labour:set").pk, "line1-hours": "17.5",
            "line1-role": "setter", "line2-role": "setter"})  # fmt: skip

    for name, args in (("jobs", []), ("job", [job.number]),
                       ("record-day", [job.number]),
                       ("record-purchase", [job.number])):  # fmt: skip
        shown = text_of(browser, name, *args)
        for figure in (*SALE_FIGURES, *WAGES, *MARGINS):
            assert figure not in shown, (name, figure)


def test_the_office_reads_money_but_no_wage_and_no_margin() -> None:
    job = a_job()
    send(signed_in(ben()), "record-day", job.number, worker=ben().pk, on="2026-05-18",
         **{"line1-budget_line": line_of(job, "labour:set").pk, "line1-hours": "17.5",
            "line1-role": "setter", "line2-role": "setter"})  # fmt: skip
    browser = signed_in(olive())

    cost = text_of(browser, "job-cost", job.number)

    assert "5,940.00" in cost
    assert "498.40" in cost
    assert "17.5" in cost
    for figure in (*WAGES, *MARGINS):
        assert figure not in cost, figure
    assert "Margin" not in cost
    assert browser.get(reverse("add-variation", args=[job.number])).status_code == 403


def test_the_owner_reads_wages_and_margin() -> None:
    job = a_job()

    cost = text_of(signed_in(ada()), "job-cost", job.number)

    for figure in ("690.00", "217.50", "1,673.90", "71.8"):
        assert figure in cost


def test_a_setter_fills_in_only_his_own_day() -> None:
    job = a_job()

    send(signed_in(ben()), "record-day", job.number, expect=422, worker=ada().pk,
         on="2026-05-18", **{"line1-text": "Sweep", "line1-hours": "2",
                             "line1-role": "setter"})  # fmt: skip

    assert DaySheet.objects.count() == 0


def test_nobody_unknown_opens_anything() -> None:
    job = a_job()
    for name, args in (("jobs", []), ("job", [job.number]), ("invoices", [])):
        response = Browser().get(reverse(name, args=args))
        assert response.status_code == 302
        assert "sign-in" in response.headers["Location"]


def test_lists_take_the_same_queries_whatever_their_length(
    django_assert_max_num_queries: Any,
) -> None:
    browser = signed_in(ada())
    for place in range(4):
        job = a_job(f"Q-010{place}")
        send(browser, "ask-share", job.number, "deposit", share="30", title="Deposit")
    counts = {}
    for name in ("jobs", "invoices"):
        with django_assert_max_num_queries(12) as seen:
            text_of(browser, name)
        counts[name] = len(seen)
    for place in range(4, 9):
        job = a_job(f"Q-010{place}")
        send(browser, "ask-share", job.number, "deposit", share="30", title="Deposit")
    for name in ("jobs", "invoices"):
        with django_assert_max_num_queries(12) as seen:
            text_of(browser, name)
        assert len(seen) == counts[name], name


def test_every_page_of_a_job_answers_before_anything_is_recorded() -> None:
    job = a_job()
    browser = signed_in(ada())

    for name in ("job", "job-cost", "job-invoices", "record-purchase", "record-return",
                 "record-use", "keep-offcut", "use-offcut", "record-day",
                 "add-variation"):  # fmt: skip
        shown = text_of(browser, name, job.number)
        assert "style=" not in shown.split("</head>")[1].replace("<style", ""), name
