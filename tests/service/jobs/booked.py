"""A small business, its people, and a job booked from an accepted quote.

The quote is written by hand: the figures a test asserts can be worked out from here.
"""

from __future__ import annotations

import uuid
from datetime import UTC, date, datetime
from fractions import Fraction

from moneyed import Money

from jobs import services
from jobs.models import BudgetLine, Job
from materials.models import Business, Material, Person, Supplier
from quotes.core import document
from quotes.core.document import (
    BoughtPack,
    Hours,
    Line,
    OfferedLine,
    Option,
    Party,
    Quote,
    TaxLine,
    TaxPart,
    Totals,
)
from quotes.models import Acceptance, Client, Rates, Revision, Site, Visit
from quotes.models import Quote as QuoteRow

BOOKED_AT = datetime(2026, 5, 14, 16, 0, tzinfo=UTC)
MONDAY = date(2026, 5, 18)


def usd(text: str) -> Money:
    return Money(text, "USD")


def new_key() -> str:
    return str(uuid.uuid4())


def a_business() -> Business:
    business, _ = Business.objects.get_or_create(
        pk=1,
        defaults={
            "name": "Marl & Sons",
            "trade_line": "Tile setters",
            "address": "7 Ropewalk Yard\nOrrin Quay",
            "country": "US",
            "licence_line": "Licence 00-0000",
            "bank_lines": "Ferry Mutual\nAccount 00 0000",
            "currency": "USD",
            "system": "imperial",
            "time_zone": "America/New_York",
            "tax_name": "Sales tax",
            "sales_tax": Fraction("0.0625"),
            "purchase_tax": Fraction("0.0625"),
            "purchase_tax_recoverable": False,
        },
    )
    Rates.objects.get_or_create(
        pk=1,
        defaults={
            "setter_wage": usd("46.00"),
            "helper_wage": usd("30.00"),
            "overhead_per_hour": usd("14.50"),
        },
    )
    return business


def a_person(username: str, role: str) -> Person:
    person, _ = Person.objects.get_or_create(
        username=username, defaults={"role": role, "first_name": username.title()}
    )
    return person


def ada() -> Person:
    return a_person("ada", Person.Role.OWNER)


def ben() -> Person:
    return a_person("ben", Person.Role.SETTER)


def olive() -> Person:
    return a_person("olive", Person.Role.OFFICE)


TILE = Line(
    key="material:tile",
    cost_class="materials",
    text="Wall tile 12 × 24",
    cost=usd("498.40"),
    price=usd("712.63"),
    section="tile",
    material="WT-12",
    quantity=Fraction("62.5"),
    unit="m2",
    packs=(
        BoughtPack(
            key="1",
            label="box of ten",
            count=7,
            content=Fraction(10),
            each=usd("71.20"),
            cost=usd("498.40"),
        ),
    ),
)
PAN = Line(
    key="material:pan",
    cost_class="materials",
    text="Foam pan 48 × 72",
    cost=usd("268.00"),
    price=usd("512.50"),
    section="floor",
    material="FP-48",
    quantity=Fraction(1),
    unit="each",
    packs=(
        BoughtPack(
            key="2",
            label="each",
            count=1,
            content=Fraction(1),
            each=usd("268.00"),
            cost=usd("268.00"),
        ),
    ),
    trimmed_off=usd("100.28"),
)
SET = Line(
    key="labour:set",
    cost_class="labour",
    text="Set wall tile",
    cost=usd("690.00"),
    price=usd("1433.37"),
    section="tile",
    operation="set_wall_tile",
    quantity=Fraction(15),
    unit="h",
    hours=(Hours(role="setter", hours=Fraction(15), wage=usd("46.00")),),
)
OVERHEAD = Line(
    key="overhead",
    cost_class="overhead",
    text="Overhead, by the productive hour",
    cost=usd("217.50"),
    price=usd("217.50"),
    section="tile",
    quantity=Fraction(15),
    unit="h",
)
TAXED = ("S", Fraction("0.0625"))
UNTAXED = ("O", Fraction(0))


def _part(kind: tuple[str, Fraction], base: str) -> TaxPart:
    return TaxPart(category=kind[0], rate=kind[1], base=usd(base))


OPTION = Option(
    key="a",
    label="Option A",
    lines=(TILE, PAN, SET, OVERHEAD),
    offered=(
        OfferedLine(
            key="tile",
            text="Wall tile, set",
            price=usd("4000.00"),
            parts=(_part(TAXED, "1500.00"), _part(UNTAXED, "2500.00")),
            detail="62.5 sq ft",
        ),
        OfferedLine(
            key="floor",
            text="Sloped floor and drain",
            price=usd("1940.00"),
            parts=(_part(TAXED, "757.13"), _part(UNTAXED, "1182.87")),
        ),
    ),
    taxes=(
        TaxLine(category="S", rate=Fraction("0.0625"), base=usd("2257.13"),
                tax=usd("141.07")),
        TaxLine(category="O", rate=Fraction(0), base=usd("3682.87"), tax=usd("0.00")),
    ),
    classes=(),
    totals=Totals(
        cost=usd("1673.90"),
        contingency=usd("0.00"),
        net=usd("5940.00"),
        tax=usd("141.07"),
        gross=usd("6081.07"),
        profit=usd("4266.10"),
        margin=Fraction(42661, 59400),
        trimmed_off=usd("100.28"),
        setter_hours=Fraction(15),
        helper_hours=Fraction(0),
        days=2,
    ),
    stages=(),
)  # fmt: skip


def a_quote(number: str) -> Quote:
    return Quote(
        number=number,
        revision="A",
        title="Shower recess",
        business=Party(name="Marl & Sons"),
        client=Party(name="Mrs Okafor"),
        site=("14 Weir Lane", "Orrin Quay"),
        scope=("Set the shower.",),
        options=(OPTION,),
        currency="USD",
        system="imperial",
        priced_on=date(2026, 5, 1),
        holds_until=date(2026, 6, 1),
        tax_name="Sales tax",
        tax_basis="document",
        payment_days=14,
    )


def a_revision(
    number: str = "Q-0147",
    *,
    state: str = "accepted",
    holds_until: date | None = None,
) -> Revision:
    """Store an offered quote, and its acceptance where it is accepted."""
    client, _ = Client.objects.get_or_create(
        name="Mrs Okafor", defaults={"address": "14 Weir Lane\nOrrin Quay"}
    )
    site, _ = Site.objects.get_or_create(client=client, address="14 Weir Lane")
    visit = Visit.objects.create(
        site=site, title="Shower recess", held_on=date(2026, 4, 28)
    )
    row = QuoteRow.objects.create(number=number, visit=visit, title="Shower recess")
    frozen = a_quote(number)
    totals = OPTION.totals
    revision = Revision.objects.create(
        quote=row,
        letter="A",
        state=state,
        visit_version=1,
        document=document.to_json(frozen),
        digest=document.digest(frozen),
        priced_on=frozen.priced_on,
        offered_on=frozen.priced_on,
        holds_until=holds_until or frozen.holds_until,
        cost=totals.cost,
        net=totals.net,
        tax=totals.tax,
        gross=totals.gross,
    )
    if state == "accepted":
        Acceptance.objects.create(
            revision=revision,
            way="on_site",
            typed_name="Mrs Okafor",
            options=["a"],
            document_digest=revision.digest,
            gross=totals.gross,
            accepted_at=BOOKED_AT,
        )
    return revision


def a_job(number: str = "Q-0147") -> Job:
    """Book the job of an accepted quote, with its materials on the price list."""
    a_business()
    for code, kind in (("WT-12", "tile"), ("FP-48", "foam_pan")):
        Material.objects.get_or_create(
            code=code, defaults={"name": code, "kind": kind, "facts": {}}
        )
    Supplier.objects.get_or_create(name="Northquay Merchants")
    return services.make_job(
        revision=a_revision(number), person=ada(), at=BOOKED_AT, key=new_key()
    )


def line_of(job: Job, key: str) -> BudgetLine:
    return job.budget_lines.get(key=key)
