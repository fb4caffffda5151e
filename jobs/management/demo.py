"""The demo business, opened through the same services a person would use.

Visit, quote, offer, acceptance, job, purchases, day sheets, invoices, payment:
nothing is written behind the services' backs. Three jobs stand at different stages.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from fractions import Fraction
from pathlib import Path
from typing import Any

from django.conf import settings
from moneyed import Money

from jobs.models import BudgetLine, Invoice, Job, Payment
from jobs.queries.leftovers import rests_of
from jobs.services.actuals import (
    PurchaseEntry,
    PurchaseLineEntry,
    UseEntry,
    record_purchase,
    record_use,
)
from jobs.services.booking import change_state, make_job
from jobs.services.hours import HoursEntry, record_day
from jobs.services.invoices import DraftEntry, draft_invoice, issue_invoice
from jobs.services.offcuts import OffcutEntry, keep_offcut
from jobs.services.payments import PaymentEntry, record_payment
from materials.core import amounts
from materials.models import Person, Supplier
from materials.services import add_person
from materials.services.starter import take_price_list
from quotes import services as quotes
from quotes.core import document
from quotes.core.offer import SECTIONS
from quotes.core.visit_file import read_visit
from quotes.models import BuildUp, Revision, Visit
from quotes.printing import offer_on_paper
from quotes.queries.whole_files import own_price_list
from quotes.services.business import BusinessEntry, RatesEntry, set_up_business
from quotes.services.offers import Agreement
from quotes.services.visit_files import SYSTEM_OF, take_visit_file

FOLDER = Path(settings.BASE_DIR) / "quotes" / "demo"
FILES = ("recess-visit.json", "hall-visit.json", "kitchen-visit.json")
"""In the order of their stages: on site, offered, complete."""

PEOPLE = (
    ("ben", "Ben Osei", Person.Role.SETTER),
    ("cleo", "Cleo Marr", Person.Role.OFFICE),
)
BUSINESS = "Fennick and Osei"

DAY = Fraction(15, 2)
"""Hours of work in a day of the demo."""

TRADE_ORDER = (
    "protect", "strip_wall_tile", "strip_floor_tile", "strip_thick_floor_tile",
    "strip_board", "prepare_surface", "lay_leveller", "set_drain", "cut_pan", "set_pan",
    "set_two_pans", "set_pan_and_board", "float_mortar_bed", "form_niche", "cut_board",
    "fix_board", "seal_surface", "water_test", "set_out", "cut_hole", "set_wall_tile",
    "set_floor_tile", "set_step", "mitre_edge", "mitre_corner", "set_trim",
    "set_skirting", "grout_alone", "seal_joint", "clean_down",
)  # fmt: skip
"""The operations in the order a setter does them."""


def demo_files() -> list[Mapping[str, Any]]:
    """Return the visit files of the demo business: all metric, all in its currency."""
    return [json.loads((FOLDER / name).read_text(encoding="utf-8")) for name in FILES]


@dataclass(frozen=True, slots=True, kw_only=True)
class Cast:
    """Who acts in the demo, and when it is opened."""

    owner: Person
    setter: Person
    at: datetime

    def on(self, days: int) -> date:
        """Return a day so many days before the demo was opened."""
        return (self.at - timedelta(days=days)).date()

    def when(self, days: int) -> datetime:
        """Return a time so many days before the demo was opened."""
        return self.at - timedelta(days=days)


def open_demo(*, password: str, at: datetime) -> None:
    """Open the demo business with its people, price list and three jobs."""
    files = demo_files()
    owner = Person(
        username="owner",
        first_name="Ada",
        last_name="Fennick",
        initials="AF",
        role=Person.Role.OWNER,
    )
    owner.set_password(password)
    owner.save()
    _business(files[0], owner, at)
    setter = owner
    for place, (username, name, role) in enumerate(PEOPLE):
        person = add_person(
            username=username,
            name=name,
            role=role,
            password=f"{password}-{username}",
            by=owner,
            key=f"demo-person-{place:04d}-{role}",
        )
        setter = person if role == Person.Role.SETTER else setter
    cast = Cast(owner=owner, setter=setter, at=at)
    stages = (_on_site, _offered, _complete)
    for place, data in enumerate(files):
        take_price_list(listed=_price_list(data), person=owner)
        visit = take_visit_file(
            data=data, person=owner, key=f"demo-visit-{place:04d}-key"
        )
        _keep_templates(visit)
        stages[place % len(stages)](visit, cast, f"demo-{place}")


def _business(data: Mapping[str, Any], owner: Person, at: datetime) -> None:
    code = data["currency"]
    set_up_business(
        entry=BusinessEntry(
            name=BUSINESS,
            trade_line="Tile setters, Orrin Quay",
            address="7 Ropewalk Yard\nOrrin Quay",
            country="GB",
            currency=code,
            system=SYSTEM_OF[data["unit"]],
            email="post@fennick.example",
            phone="555 0176",
            licence_line="Licence 00-0000, invented",
            tax_number="GB 000 0000 00 (invented)",
            sales_tax=Fraction(1, 5),
            purchase_tax=Fraction(1, 5),
            bank_lines="Orrin Quay Savings, account 00000000 (invented)",
        ),
        rates=_rates(code),
        at=at,
        person=owner,
        key="demo-business-0001",
        is_demo=True,
    )


def _rates(code: str) -> RatesEntry:
    def price(text: str) -> Money:
        return amounts.unit_price(text, code)

    return RatesEntry(
        setter_wage=price("31"),
        helper_wage=price("19.40"),
        overhead_per_hour=price("8.60"),
        travel_per_visit=price("22"),
        materials_rate=Fraction(1, 5),
        labour_rate=Fraction(35, 100),
        other_rate=Fraction(12, 100),
        contingency=Fraction(1, 20),
        minimum_charge=amounts.money(180, code),
        deposit=Fraction(3, 10),
        exclusions="Plumbing behind the wall\nGlass screens\nPainting",
        terms="Prices hold for the sizes shown.\nExtras are agreed before they count.",
    )


def _price_list(data: Mapping[str, Any]) -> Mapping[str, Any]:
    """Return a file's own price list with every length spelled with its unit."""
    return own_price_list(read_visit(data), SYSTEM_OF[data["unit"]])


def _keep_templates(visit: Visit) -> None:
    """Keep a visit's build-ups as the business's own too, where the key is new."""
    known = set(BuildUp.objects.filter(visit=None).values_list("key", flat=True))
    BuildUp.objects.bulk_create(
        BuildUp(key=row.key, name=row.name, layers=row.layers)
        for row in visit.build_ups.all()
        if row.key not in known
    )


def _offer(visit: Visit, cast: Cast, key: str, days: int) -> Revision:
    on = cast.on(days)
    quote = quotes.make_quote(
        visit=visit, on=on, person=cast.owner, key=f"{key}-make-quote-key"
    )
    return offer_on_paper(revision=quote.revisions.get(), on=on, person=cast.owner)


def _offered(visit: Visit, cast: Cast, key: str) -> None:
    _offer(visit, cast, key, 4)


def _accepted(visit: Visit, cast: Cast, key: str, days: int) -> Job:
    revision = _offer(visit, cast, key, days + 6)
    quotes.accept_revision(
        revision=revision,
        agreement=Agreement(
            way="on_site",
            typed_name=visit.site.client.name,
            digest=revision.digest,
        ),
        at=cast.when(days),
        today=cast.on(days),
        person=cast.owner,
    )
    return make_job(
        revision=revision,
        person=cast.owner,
        at=cast.when(days),
        key=f"{key}-make-job-key",
    )


def _invoice(
    job: Job, kind: str, cast: Cast, *, days: int, key: str, paid: Fraction
) -> Invoice:
    share = Fraction(3, 10) if kind == Invoice.Kind.DEPOSIT else None
    draft = draft_invoice(
        job=job,
        entry=DraftEntry(kind=kind, share=share),
        person=cast.owner,
        key=f"{key}-draft-{kind}-key",
    )
    invoice = issue_invoice(
        invoice=draft,
        person=cast.owner,
        at=cast.when(days),
        key=f"{key}-issue-{kind}-key",
    )
    if paid:
        record_payment(
            invoice=invoice,
            entry=PaymentEntry(
                amount=amounts.percent_of(invoice.due, paid),
                on=cast.on(days - 2),
                way=Payment.Way.TRANSFER,
                reference="demo",
            ),
            person=cast.owner,
            key=f"{key}-pay-{kind}-key",
        )
    return invoice


def _buy(job: Job, cast: Cast, key: str, *, days: int, dearer: Fraction) -> None:
    """Buy every material line at its packs, each a little dearer than quoted."""
    quoted = document.from_json(job.revision.document).option()
    lines = []
    for line in job.budget_lines.filter(cost_class="materials", supplied_by="us"):
        for pack in quoted.line(line.key).packs:
            each = amounts.exact(pack.each) * (1 + dearer)
            lines.append(
                PurchaseLineEntry(
                    budget_line=line,
                    packs=pack.count,
                    price_each=amounts.unit_price(each, job.currency),
                    holds=pack.content,
                    lot="L-417" if line.key.startswith("material:TL") else "",
                )
            )
    record_purchase(
        job=job,
        entry=PurchaseEntry(
            bought_on=cast.on(days),
            received_on=cast.on(days),
            tax_rate=Fraction(0),
            tax_recoverable=True,
            supplier=Supplier.objects.order_by("pk").first(),
            reference="till receipt",
            lines=tuple(lines),
        ),
        person=cast.setter,
        key=f"{key}-buy-all-key-1",
    )


def _work(job: Job, cast: Cast, key: str, *, ends: int, share: Fraction) -> None:
    """Record a share of the quoted hours in the trade's order, in days of work.

    A tile is set after its wall is boarded and sealed, and the corners are sealed last:
    so the days of the demo run, each as full as a day is.
    """
    lines = sorted(job.budget_lines.filter(cost_class="labour"), key=_turn)
    left = _quarters(sum((_hours(line) for line in lines), Fraction(0)) * share)
    sheets: list[list[HoursEntry]] = [[]]
    room = DAY
    for line in lines:
        hours = min(_quarters(_hours(line) * max(share, Fraction(1))), left)
        left -= hours
        while hours:
            if not room:
                sheets.append([])
                room = DAY
            part = min(hours, room)
            sheets[-1].append(HoursEntry(budget_line=line, hours=part))
            hours, room = hours - part, room - part
    days = _days_of_work(cast.on(ends), len(sheets))
    for place, (on, entries) in enumerate(zip(days, sheets, strict=True)):
        if entries:
            record_day(
                job=job, worker=cast.setter, on=on, lines=entries, person=cast.setter,
                key=f"{key}-day-{place:03d}-key-1",
            )  # fmt: skip


def _turn(line: BudgetLine) -> int:
    """Return when a line's turn comes; what is not listed comes before the cleaning."""
    known = line.operation in TRADE_ORDER
    return TRADE_ORDER.index(line.operation if known else "clean_down")


def _quarters(hours: Fraction) -> Fraction:
    """Return hours as a day sheet has them: whole quarters, halves up."""
    return Fraction(int(hours * 4 + Fraction(1, 2)), 4)


def _days_of_work(last: date, count: int) -> list[date]:
    """Return so many days from Monday to Friday, in order, the last no later."""
    found: list[date] = []
    on = last
    while len(found) < count:
        if on.weekday() < 5:
            found.append(on)
        on -= timedelta(days=1)
    return found[::-1]


def _done(job: Job, last: str) -> list[BudgetLine]:
    """Return the goods whose work is done: those of sections up to `last`."""
    quoted = document.from_json(job.revision.document).option()
    done = [*SECTIONS][: [*SECTIONS].index(last) + 1]
    return [
        line
        for line in job.budget_lines.filter(cost_class="materials")
        if line.quantity and quoted.line(line.key).section in done
    ]


def _use(job: Job, cast: Cast, key: str, *, on: date, last: str) -> None:
    """Record the goods as used whose work is done; of what is left keep the best."""
    lines = _done(job, last)
    for line in lines:
        record_use(
            line=line,
            entry=UseEntry(how="used", quantity=line.needed or line.quantity, on=on),
            person=cast.setter,
            key=f"{key}-use-{line.pk}-key-0001",
        )
    largest = {rest.line.pk: rest for rest in reversed(rests_of(job))}
    for line in lines:
        if rest := largest.get(line.pk):
            keep_offcut(
                line=line,
                entry=OffcutEntry(
                    width=rest.width, height=rest.length, place="workshop, long shelf"
                ),
                on=on,
                person=cast.setter,
                key=f"{key}-keep-{line.pk}-key-0001",
            )


def _hours(line: BudgetLine) -> Fraction:
    return line.quantity if line.unit == "h" else Fraction(0)


def _on_site(visit: Visit, cast: Cast, key: str) -> None:
    job = _accepted(visit, cast, key, 20)
    _invoice(job, Invoice.Kind.DEPOSIT, cast, days=19, key=key, paid=Fraction(1))
    _buy(job, cast, key, days=13, dearer=Fraction(1, 50))
    change_state(job=job, state=Job.State.ON_SITE, person=cast.owner, at=cast.when(12))
    _work(job, cast, key, ends=1, share=Fraction(1, 2))
    _use(job, cast, key, on=cast.on(1), last="floor")


def _complete(visit: Visit, cast: Cast, key: str) -> None:
    job = _accepted(visit, cast, key, 44)
    _buy(job, cast, key, days=38, dearer=Fraction(-1, 100))
    change_state(job=job, state=Job.State.ON_SITE, person=cast.owner, at=cast.when(37))
    _work(job, cast, key, ends=25, share=Fraction(11, 10))
    _use(job, cast, key, on=cast.on(25), last="travel")
    for state, days in ((Job.State.SNAGGING, 24), (Job.State.COMPLETE, 22)):
        change_state(job=job, state=state, person=cast.owner, at=cast.when(days))
    _invoice(job, Invoice.Kind.FINAL, cast, days=21, key=key, paid=Fraction(1, 2))
