"""Lists stay as cheap as they were small: pages, indexes, what is open, the frame."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import Any

import pytest
from django.db import connection
from django.db.models import Model, QuerySet
from django.urls import reverse
from django.utils import translation

from jobs import queries
from jobs.management.bulk import next_key, write_rows
from jobs.models import Invoice, Job, Purchase, PurchaseLine
from materials.core import amounts
from materials.models import Material
from materials.queries.paging import page_of
from materials.queries.seals import row_digests
from quotes.models import Client, Quote, Revision, Visit
from tests.service.jobs.booked import a_business, a_job, ada, ben, olive, usd
from tests.service.jobs.test_invoices import billed, credit, draft, pay
from tests.service.jobs.whole_business import a_whole_business
from tests.service.office import signed_in

pytestmark = pytest.mark.django_db


def plan_of(rows: QuerySet[Any, Any], *dear: str) -> str:
    """Return how the database goes about a query, were its tables full.

    PostgreSQL weighs by the statistics of the day, and reads or sorts a short table
    whatever stands ready: those ways are made dear.
    """
    if connection.vendor == "sqlite":
        return rows.explain()
    with connection.cursor() as cursor:
        for way in ("seqscan", *dear):
            cursor.execute(f"SET LOCAL enable_{way} = off")
    return rows.explain()


@pytest.mark.parametrize(
    ("rows", "index"),
    [
        (lambda: Job.objects.order_by("-pk").values("pk")[9:12], "job_newest|pkey"),
        (lambda: Job.objects.filter(state="closed").order_by("-pk"), "job_by_state"),
        (lambda: Invoice.objects.order_by("-pk").values("pk")[9:12],
         "invoice_newest|pkey"),
        (lambda: Invoice.objects.filter(open_due_on__gte=date.min)
         .order_by("open_due_on", "pk"), "invoice_still_open"),
        (lambda: Quote.objects.order_by("-pk").values("pk")[9:12], "quote_newest|pkey"),
        (lambda: Revision.objects.filter(state="offered").order_by("-quote_id"),
         "revision_by_state"),
        (lambda: Visit.objects.order_by("-held_on", "-pk")[:9], "visit_by_day"),
        (lambda: Client.objects.order_by("name", "pk")[:9], "client_by_name"),
        (lambda: Material.objects.filter(in_use=True)
         .order_by("kind", "name", "pk")[:9], "material_listed"),
    ],
)  # fmt: skip
def test_what_a_list_is_ordered_by_has_an_index(rows: Any, index: str) -> None:
    plan = plan_of(rows(), "sort", "incremental_sort")

    assert any(name in plan for name in index.split("|")), plan
    assert "TEMP B-TREE" not in plan


def test_jobs_ahead_are_found_by_their_state() -> None:
    a_business()

    assert "job_by_state" in plan_of(queries.jobs_ahead(ada(), most=5))


def clients(count: int) -> None:
    Client.objects.bulk_create(
        Client(name=f"Esk {number % 7}") for number in range(count)
    )


@pytest.mark.parametrize("number", ["1", "2", "4", "99", "no number"])
def test_a_page_found_by_its_keys_is_the_page_that_is_counted_off(number: str) -> None:
    clients(10)
    rows = Client.objects.order_by("name", "pk")

    page = page_of(rows, 3, number)

    start = (page.number - 1) * 3
    assert list(page) == list(rows)[start : start + 3]
    assert page.paginator.num_pages == 4


def unsettled() -> Iterator[Invoice]:
    """Give the invoices that are open, by what each says of itself."""
    for row in Invoice.objects.select_related("job"):
        is_bill = row.kind != "credit" and row.state != "draft"
        left = queries.still_open(row).amount
        if is_bill and (left < 0 or row.state in ("issued", "part_settled")):
            yield row


def test_the_database_knows_itself_which_invoices_are_open() -> None:
    job = a_job()
    draft(job, "deposit", "0.1")
    waiting, part, settled = (billed(job, "deposit", "0.1") for _ in range(3))
    too_much, credited = (billed(job, "deposit", "0.1") for _ in range(2))
    pay(part, "1.00")
    pay(settled, str(settled.due.amount))
    pay(too_much, str(too_much.due.amount + 5))
    credit(credited)

    found = queries.open_invoices(ada())

    assert {row.uid for row in found} == {row.uid for row in unsettled()}
    assert {row.uid for row in found} == {waiting.uid, part.uid, too_much.uid}
    assert {row.uid: row.open for row in found}[too_much.uid] == usd("-5.00")
    page = queries.invoice_page(person=ada(), state="open", number="1")
    assert [row.uid for row in page] == [too_much.uid, part.uid, waiting.uid]
    assert queries.open_invoices(ben()) == []


def test_a_row_of_a_list_says_what_the_invoice_says() -> None:
    job = a_job()
    part = billed(job, "deposit", "0.1")
    pay(part, "1.00")

    (row,) = queries.invoice_page(person=ada(), state="", number="1")

    assert row == queries.facts_of(Invoice.objects.get(pk=part.pk))


def test_rows_written_in_bulk_are_as_a_model_stores_them() -> None:
    a_whole_business()
    line = PurchaseLine.objects.order_by("pk")[0]
    like = PurchaseLine.objects.get(pk=line.pk)
    like.pk = None
    key = next_key(PurchaseLine)

    write_rows(
        like,
        ("id", "purchase_id", "packs", "quantity", "net", "text"),
        [(key, line.purchase_id, 3, 2_500_000, amounts.to_units(usd("12.34")), "x")],
    )

    stored = PurchaseLine.objects.get(pk=key)
    assert (stored.packs, stored.quantity * 2, stored.net) == (3, 5, usd("12.34"))
    assert (stored.price_each, stored.budget_line_id) == (
        line.price_each, line.budget_line_id,
    )  # fmt: skip
    stored.pk = None
    stored.save()
    assert stored.pk == key + 1
    columns = [field.column for field in PurchaseLine._meta.concrete_fields][1:]
    digests = row_digests("jobs_purchaseline", columns)
    assert digests[key] == digests[key + 1]


def test_days_and_ids_are_written_in_bulk_as_models_store_them() -> None:
    job = a_job()
    made = Purchase(job=job, bought_on=date(2026, 6, 1))
    key = next_key(Purchase)

    write_rows(made, ("id", "uid", "bought_on"), [(key, made.uid, made.bought_on)])

    stored = Purchase.objects.get(uid=made.uid)
    assert (stored.pk, stored.bought_on, stored.job) == (key, made.bought_on, job)


def links(person: Any) -> str:
    page = signed_in(person).get(reverse("own-sign-in")).content.decode()
    return page.partition("<details")[2].partition("</details")[0]


def test_the_kept_menu_is_each_role_s_own_and_in_each_language() -> None:
    business = a_business()
    shut = [reverse(name) for name in ("invoices", "people", "business")]

    assert [f'href="{one}"' in links(ben()) for one in shut] == [False] * 3
    assert [f'href="{one}"' in links(olive()) for one in shut] == [True, False, False]
    assert [f'href="{one}"' in links(ada()) for one in shut] == [True] * 3

    was = links(ada())
    business.language = "en-us" if business.language == "en-gb" else "en-gb"
    business.save()
    with translation.override(business.language):
        word = translation.gettext("Site visits")
    assert word in links(ada())
    assert links(ben()).count("<li>") < links(ada()).count("<li>") == was.count("<li>")


def test_turning_pages_keeps_what_was_searched_for() -> None:
    a_business()
    sample: list[Model] = [
        Material(code=f"TL{place:02d}", name=f"Tile & edge {place:02d}", kind="tile")
        for place in range(25)
    ]
    Material.objects.bulk_create(sample)  # type: ignore[arg-type]
    browser = signed_in(ada())

    page = browser.get(reverse("price-list"), {"words": "& edge", "kind": "tile"})

    text = page.content.decode()
    assert 'href="?words=%26+edge&amp;kind=tile&amp;page=2"' in text
    assert '<option value="tile" selected>' in text
    after = browser.get(f"{reverse('price-list')}?words=%26+edge&kind=tile&page=2")
    assert after.content.decode().count('<th scope="row">') == 5
