"""A business of full size, invented and seeded, written in bulk.

Each job is a copy of the demo's finished one under other names, days and numbers, with
purchases and use drawn at random; documents are renumbered and digested again, and all
rows are sealed, so that the books of a filled business hold like any other's.
"""

from __future__ import annotations

import hashlib
import random
import uuid
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from typing import Any

from django.db import models

from jobs.core.numbering import DocumentNumber
from jobs.management.bulk import next_key, write_rows
from jobs.models import (
    BudgetLine,
    Invoice,
    Job,
    Payment,
    Purchase,
    PurchaseLine,
    Series,
    Usage,
)
from materials.core import amounts
from materials.core.amounts import UNITS_PER_WHOLE
from materials.fields import QuantityField
from materials.models import Person, Supplier
from quotes.core.document import canonical
from quotes.models import Acceptance, Client, Quote, Revision, Site, Visit

PURCHASES, LINES, USES = 5, 5, 25
"""So many purchases a job, lines a purchase, entries of use a job: 50 lines a job."""
AT_ONCE = 500
FIRST_DAY = date(2018, 1, 8)
"""From when invented prices hold; jobs begin on the day of the last number."""
NAMES = ("Aldous", "Birk", "Corrie", "Dunmore", "Esk", "Farrow", "Gale", "Hask")
PLACES = ("Weir Lane", "Ropewalk Yard", "Tanner's Walk", "Sallow Court", "Kiln Street")


@dataclass(slots=True)
class Pattern:
    """The demo's finished job and what hangs on it, read once."""

    job: Job
    revision: Revision
    document: dict[str, Any]
    lines: list[BudgetLine]
    goods: list[BudgetLine]
    bill: Invoice
    person: Person
    suppliers: list[Supplier]


@dataclass(slots=True)
class Counts:
    """The last number given out, by kind and year."""

    last: dict[tuple[str, int], tuple[int, date]]

    def next(self, kind: str, year: int, on: date) -> str:
        """Return the next number of a series."""
        count = self.last.get((kind, year), (0, on))[0] + 1
        self.last[kind, year] = (count, on)
        if kind == "quote":
            return f"Q{year}-{count:04d}"
        return str(DocumentNumber(kind=kind, year=year, count=count))


def pattern() -> Pattern:
    """Return the demo's finished job as the pattern of all others.

    Its working and drawings are left out of the copies: they are the bulk of a frozen
    quote, and no list page reads them.
    """
    job = Job.objects.select_related("revision", "client").get(state="complete")
    stored = dict(job.revision.document) | {"drawings": []}
    options = [
        option | {"lines": [line | {"working": []} for line in option["lines"]]}
        for option in stored["options"]
    ]
    lines = list(job.budget_lines.all())
    return Pattern(
        job=job,
        revision=job.revision,
        document=stored | {"options": options},
        lines=lines,
        goods=[line for line in lines if line.cost_class == "materials"],
        bill=job.invoices.filter(kind="final").get(),
        person=Person.objects.filter(role="owner").order_by("pk")[0],
        suppliers=list(Supplier.objects.all()),
    )


def copy_of(row: models.Model, **changes: Any) -> Any:
    """Return an unsaved copy of a row with another id and some other values."""
    values = {
        one.attname: getattr(row, one.attname)
        for one in row._meta.concrete_fields
        if not (one.primary_key or one.generated)
    }
    if "uid" in values:
        values["uid"] = uuid.uuid4()
    return type(row)(**(values | changes))


def fill_jobs(count: int, chance: random.Random, counts: Counts) -> None:
    """Add so many jobs with everything that hangs on them, in batches."""
    like = pattern()
    first = Series.objects.aggregate(day=models.Max("last_on"))["day"] or FIRST_DAY
    span = (date.today() - first).days  # noqa: DTZ011 - invented days
    for start in range(0, count, AT_ONCE):
        days = [
            first + timedelta(days=place * span // count)
            for place in range(start, min(start + AT_ONCE, count))
        ]
        jobs = _booked(like, days, chance, counts)
        lines = _budgets(like, jobs)
        _bought(like, jobs, lines, chance)
        _used(like, jobs, lines, chance)
        _billed(like, jobs, counts)


def _noon(on: date) -> datetime:
    return datetime.combine(on, time(12), UTC)


def _visited(
    like: Pattern, days: Sequence[date], chance: random.Random
) -> tuple[list[Client], list[Visit]]:
    """Store a client, a site and a visit for each day."""
    clients = [
        Client(name=f"{chance.choice(NAMES)} {chance.randrange(10_000)}",
               address=f"{chance.randrange(1, 200)} {chance.choice(PLACES)}")
        for _ in days
    ]  # fmt: skip
    Client.objects.bulk_create(clients)
    sites = [Site(client=one, address=one.address) for one in clients]
    Site.objects.bulk_create(sites)
    visit = like.revision.quote.visit
    visits = [
        copy_of(visit, site_id=site.pk, held_on=on, copied_from_id=None)
        for site, on in zip(sites, days, strict=True)
    ]
    Visit.objects.bulk_create(visits)
    return clients, visits


def _booked(
    like: Pattern, days: Sequence[date], chance: random.Random, counts: Counts
) -> list[Job]:
    """Store clients, visits, accepted quotes and their jobs."""
    clients, visits = _visited(like, days, chance)
    quotes = [
        Quote(number=counts.next("quote", on.year, on), visit=one, title=one.title)
        for one, on in zip(visits, days, strict=True)
    ]
    Quote.objects.bulk_create(quotes)
    revisions = [
        _revision(like, quote, on) for quote, on in zip(quotes, days, strict=True)
    ]
    Revision.objects.bulk_create(revisions)
    _agreed(revisions, clients)
    jobs = [
        copy_of(
            like.job,
            number=counts.next("job", 0, on),
            revision_id=row.pk,
            client_id=client.pk,
            budget=like.job.budget | {"quote": f"{row.quote.number} A", "option":
                                      like.document["options"][0]},
            state="closed",
            booked_on=on,
            started_on=on,
            completed_on=on,
            closed_on=on,
        )
        for row, client, on in zip(revisions, clients, days, strict=True)
    ]  # fmt: skip
    Job.objects.bulk_create(jobs)
    return jobs


def _agreed(revisions: Sequence[Revision], clients: Sequence[Client]) -> None:
    """Store the acceptance of each revision by its client."""
    Acceptance.objects.bulk_create(
        Acceptance(
            revision=row,
            way="on_site",
            typed_name=client.name,
            document_digest=row.digest,
            gross=row.gross,
            accepted_at=row.ended_at or _noon(FIRST_DAY),
        )
        for row, client in zip(revisions, clients, strict=True)
    )


def _revision(like: Pattern, quote: Quote, on: date) -> Revision:
    stored = like.document | {
        "number": quote.number,
        "priced_on": str(on),
        "offered_on": str(on),
        "holds_until": str(on + timedelta(days=30)),
    }
    return Revision(
        quote=quote,
        letter="A",
        state="accepted",
        visit_version=1,
        document=stored,
        digest=hashlib.sha256(canonical(stored)).hexdigest(),
        priced_on=on,
        offered_on=on,
        holds_until=on + timedelta(days=30),
        cost=like.revision.cost,
        net=like.revision.net,
        tax=like.revision.tax,
        gross=like.revision.gross,
        ended_at=_noon(on),
    )


def _budgets(
    like: Pattern, jobs: Sequence[Job]
) -> dict[int, list[tuple[int, BudgetLine]]]:
    """Store the budget lines of jobs; return each job's goods, by their keys."""
    first, each = next_key(BudgetLine), len(jobs)
    goods: dict[int, list[tuple[int, BudgetLine]]] = {job.pk: [] for job in jobs}
    for line in like.lines:
        keys = range(first, first + each)
        rows = [(key, job.pk) for key, job in zip(keys, jobs, strict=True)]
        write_rows(copy_of(line, finished=False), ("id", "job_id"), rows)
        first += each
        if line.cost_class == "materials":
            for key, job in rows:
                goods[job].append((key, line))
    return goods


def _bought(
    like: Pattern,
    jobs: Sequence[Job],
    goods: dict[int, list[tuple[int, BudgetLine]]],
    chance: random.Random,
) -> None:
    first = next_key(Purchase)
    made = [(job, place) for job in jobs for place in range(PURCHASES)]
    write_rows(
        Purchase(made_by=like.person),
        ("id", "uid", "job_id", "supplier_id", "reference", "bought_on", "received_on"),
        (
            (first + at, drawn(chance), job.pk, chance.choice(like.suppliers).pk,
             f"receipt {place + 1}", job.booked_on, job.booked_on)
            for at, (job, place) in enumerate(made)
        ),
    )  # fmt: skip
    bought = [
        (first + at, *chance.choice(goods[job.pk]))
        for at, (job, _place) in enumerate(made)
        for _ in range(LINES)
    ]
    zero = amounts.zero(like.job.currency)
    write_rows(
        PurchaseLine(price_each=zero, net=zero, tax_cost=zero),
        ("id", "purchase_id", "budget_line_id", "material_id", "text", "packs",
         "quantity", "price_each", "net"),
        (
            (key, purchase, budget, line.material_id, line.text[:200],
             *_packs(chance))
            for key, (purchase, budget, line) in enumerate(
                bought, next_key(PurchaseLine)
            )
        ),
    )  # fmt: skip


def _packs(chance: random.Random) -> tuple[int, int, int, int]:
    """Return invented packs, what they hold, the price of one and of all, as stored."""
    packs, cents = chance.randrange(1, 6), chance.randrange(200, 9_000)
    each = cents * UNITS_PER_WHOLE // 100
    return packs, packs * QuantityField.per_whole, each, packs * each


def _used(
    like: Pattern,
    jobs: Sequence[Job],
    goods: dict[int, list[tuple[int, BudgetLine]]],
    chance: random.Random,
) -> None:
    made = [job for job in jobs for _ in range(USES)]
    write_rows(
        Usage(made_by=like.person),
        ("id", "uid", "job_id", "budget_line_id", "noted_on", "quantity"),
        (
            (key, drawn(chance), job.pk, chance.choice(goods[job.pk])[0],
             job.booked_on,
             chance.randrange(1, 400) * QuantityField.per_whole // 100)
            for key, job in enumerate(made, next_key(Usage))
        ),
    )  # fmt: skip


def drawn(chance: random.Random) -> uuid.UUID:
    """Return an id drawn by the seed, as everything invented is."""
    return uuid.UUID(int=chance.getrandbits(128), version=4)


def _billed(like: Pattern, jobs: Sequence[Job], counts: Counts) -> None:
    """Issue a final account for each job; all but the last of fifty are paid."""
    bills = [_bill(like, job, counts, place) for place, job in enumerate(jobs)]
    Invoice.objects.bulk_create(bills)
    Payment.objects.bulk_create(
        Payment(
            invoice=bill,
            paid_on=bill.issued_on or FIRST_DAY,
            amount=bill.paid,
            way="transfer",
            request_key=f"fill-{uuid.uuid4()}",
            made_by=like.person,
        )
        for bill in bills
        if bill.paid.amount
    )


def _bill(like: Pattern, job: Job, counts: Counts, place: int) -> Invoice:
    on = job.booked_on
    number, due = counts.next("invoice", on.year, on), on + timedelta(days=14)
    stored = like.bill.document | {
        "number": number,
        "issued_on": str(on),
        "due_on": str(due),
        "references": like.bill.document["references"] | {"job": job.number},
    }
    is_open = place % 50 == 0
    row: Invoice = copy_of(
        like.bill,
        job_id=job.pk,
        number=number,
        document=stored,
        digest=hashlib.sha256(canonical(stored)).hexdigest(),
        issued_on=on,
        due_on=due,
        issued_at=_noon(on),
        pdf_id=None,
        state="issued" if is_open else "settled",
    )
    zero = amounts.zero(job.currency)
    row.credited = zero
    row.paid = zero if is_open else row.due
    return row


def counts_now() -> Counts:
    """Return the last numbers of every series as they stand."""
    last = {
        (row.kind, row.year): (row.last, row.last_on or FIRST_DAY)
        for row in Series.objects.all()
    }
    for number in Quote.objects.values_list("number", flat=True):
        year, count = number.removeprefix("Q").split("-")
        key = ("quote", int(year))
        last[key] = (max(int(count), last.get(key, (0, FIRST_DAY))[0]), FIRST_DAY)
    return Counts(last=last)


def keep_counts(counts: Counts) -> None:
    """Write the last numbers back to the series of those that have one."""
    for (kind, year), (count, on) in counts.last.items():
        if kind != "quote":
            row, _made = Series.objects.get_or_create(kind=kind, year=year)
            day = max(on, row.last_on or on)
            Series.objects.filter(pk=row.pk).update(last=count, last_on=day)


def steps_of(first: int) -> Iterator[tuple[str, str, dict[str, object]]]:
    """Give action, subject and facts of the steps behind jobs from a key on."""
    rows = (
        Job.objects.filter(pk__gte=first)
        .order_by("pk")
        .values_list("number", "revision__quote__number", "closed_on")
    )
    for job, quote, on in rows.iterator(chunk_size=2_000):
        yield "offer quote", f"quote {quote} A", {}
        yield "accepted quote", f"quote {quote} A", {}
        facts: dict[str, object] = {
            "from": "booked",
            "to": "closed",
            "days": [str(on)] * 3,
        }
        yield "change job state", job, facts
