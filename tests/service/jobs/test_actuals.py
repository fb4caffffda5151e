"""A job takes its budget over and is measured against it."""

from __future__ import annotations

from datetime import date, datetime
from fractions import Fraction

import pytest
from moneyed import Money

from jobs import queries, services
from jobs.core.invoicing import TaxKey
from jobs.models import Job, Purchase
from jobs.services import (
    HoursEntry,
    OffcutEntry,
    PurchaseEntry,
    PurchaseLineEntry,
    UseEntry,
    VariationEntry,
)
from materials.core.errors import Refusal
from materials.core.lengths import Length
from materials.models import AuditEntry, Material, Offcut, Supplier
from tests.service.jobs.booked import (
    BOOKED_AT,
    MONDAY,
    a_business,
    a_job,
    a_revision,
    ada,
    ben,
    line_of,
    new_key,
    usd,
)

pytestmark = pytest.mark.django_db


def buy(
    job: Job, key: str, packs: int, each: str, *, received: date | None = MONDAY,
    request_key: str = "",
) -> Purchase:  # fmt: skip
    entry = PurchaseEntry(
        supplier=Supplier.objects.get(),
        bought_on=date(2026, 5, 15),
        received_on=received,
        tax_rate=Fraction(0),
        tax_recoverable=True,
        lines=(
            PurchaseLineEntry(
                budget_line=line_of(job, key), packs=packs, price_each=usd(each)
            ),
        ),
    )
    return services.record_purchase(
        job=job, entry=entry, person=ben(), key=request_key or new_key()
    )


def test_an_accepted_quote_becomes_one_job_with_its_budget() -> None:
    job = a_job()

    again = services.make_job(
        revision=job.revision, person=ada(), at=BOOKED_AT, key=new_key()
    )

    assert again == job
    assert Job.objects.count() == 1
    assert job.number == "J-0001"
    assert job.booked_on == date(2026, 5, 14)
    assert (job.cost, job.net, job.gross) == (
        usd("1673.90"),
        usd("5940.00"),
        usd("6081.07"),
    )
    tile = line_of(job, "material:tile")
    assert (tile.quantity, tile.needed) == (Fraction(70), Fraction("62.5"))
    assert tile.material is not None
    assert queries.contract_of(job).totals.gross == job.gross


def test_a_quote_that_was_not_accepted_makes_no_job() -> None:
    a_business()

    with pytest.raises(Refusal, match="accepted"):
        services.make_job(
            revision=a_revision(state="offered"),
            person=ada(),
            at=BOOKED_AT,
            key=new_key(),
        )


def test_one_key_records_one_purchase() -> None:
    job, key = a_job(), new_key()

    first = buy(job, "material:tile", 8, "69.90", request_key=key)
    second = buy(job, "material:tile", 8, "69.90", request_key=key)

    assert first == second
    assert Purchase.objects.count() == 1
    with pytest.raises(Refusal, match="other content"):
        buy(job, "material:tile", 9, "69.90", request_key=key)


def test_eight_boxes_a_little_cheaper_split_into_usage_and_price() -> None:
    job = a_job()
    buy(job, "material:tile", 8, "69.90")

    row = queries.cost_of(job).report.classes[0].lines[0]

    assert row.actual.cost == usd("559.20")
    assert (row.split.usage, row.split.price) == (usd("71.20"), usd("-10.40"))


def test_an_order_is_committed_and_becomes_actual_when_it_arrives() -> None:
    job = a_job()
    order = buy(job, "material:tile", 7, "71.20", received=None)
    before = queries.cost_of(job).report.sums

    services.receive_purchase(purchase=order, on=MONDAY, person=ben())

    after = queries.cost_of(job).report.sums
    assert (before.committed, before.actual) == (usd("498.40"), usd("0.00"))
    assert after.actual == usd("498.40")
    assert before.forecast == after.forecast == usd("1673.90")


def test_tax_that_cannot_be_recovered_is_part_of_the_cost() -> None:
    job = a_job()
    entry = PurchaseEntry(
        bought_on=MONDAY,
        received_on=MONDAY,
        tax_rate=Fraction("0.0625"),
        tax_recoverable=False,
        lines=(
            PurchaseLineEntry(
                budget_line=line_of(job, "material:pan"),
                packs=1,
                price_each=usd("268.00"),
            ),
        ),
    )

    services.record_purchase(job=job, entry=entry, person=ben(), key=new_key())

    assert queries.cost_of(job).report.sums.actual == usd("284.75")


def test_a_return_gives_back_packs_and_money() -> None:
    job = a_job()
    line = buy(job, "material:tile", 8, "70.00").lines.get()

    services.record_return(
        line=line, packs=1, credit=usd("63.00"), on=MONDAY, person=ben(), key=new_key()
    )

    cost = queries.cost_of(job)
    assert cost.report.sums.actual == usd("497.00")
    assert cost.fold.stock["material:tile"].on_hand == Fraction(70)
    with pytest.raises(Refusal, match="7 packs"):
        services.record_return(
            line=line,
            packs=8,
            credit=usd("1.00"),
            on=MONDAY,
            person=ben(),
            key=new_key(),
        )
    with pytest.raises(Refusal, match="was paid for them"):
        services.record_return(
            line=line,
            packs=1,
            credit=usd("70.01"),
            on=MONDAY,
            person=ben(),
            key=new_key(),
        )


def test_hours_cost_the_wage_of_the_day_and_carry_overhead() -> None:
    job = a_job()

    services.record_day(
        job=job,
        worker=ben(),
        on=MONDAY,
        lines=[
            HoursEntry(budget_line=line_of(job, "labour:set"), hours=Fraction("17.5"))
        ],
        person=ben(),
        key=new_key(),
    )

    classes = {part.cost_class: part for part in queries.cost_of(job).report.classes}
    assert classes["labour"].sums.actual == usd("805.00")
    assert classes["labour"].sums.usage == usd("115.00")
    assert classes["overhead"].sums.actual == usd("253.75")


def test_a_day_has_twenty_four_hours() -> None:
    job = a_job()

    def work(hours: str) -> None:
        services.record_day(
            job=job,
            worker=ben(),
            on=MONDAY,
            lines=[HoursEntry(budget_line=None, hours=Fraction(hours), text="Sweep")],
            person=ben(),
            key=new_key(),
        )

    work("20")
    with pytest.raises(Refusal, match="a day has 24"):
        work("4.5")
    work("4")


def test_what_the_rack_takes_comes_off_the_trimmed_share_not_off_the_cost() -> None:
    job = a_job()
    before = queries.cost_of(job).pans[0]
    buy(job, "material:pan", 1, "268.00")

    services.keep_offcut(
        line=line_of(job, "material:pan"),
        entry=OffcutEntry(
            width=Length.inch("5 3/4"),
            height=Length.inch("48"),
            value=usd("21.40"),
            place="van",
        ),
        on=MONDAY,
        person=ben(),
        key=new_key(),
    )

    cost = queries.cost_of(job)
    pan = cost.pans[0]
    assert before.actual is None
    assert pan.quoted == usd("100.28")
    assert pan.actual is not None
    assert pan.actual.in_the_work == usd("167.72")
    assert pan.actual.on_the_rack == usd("21.40")
    assert pan.actual.thrown_away == usd("78.88")
    assert cost.report.sums.actual == usd("268.00")


A_PAN = {"width": "48", "depth": "72", "thin": "3/4", "thick": "2"}


def test_a_piece_without_a_value_carries_its_share_of_the_line() -> None:
    """A strip 6 of 48 in wide of a pan quoted at 268.00: an eighth of it, 33.50."""
    job = a_job()
    pan = line_of(job, "material:pan")
    Material.objects.filter(pk=pan.material_id).update(facts=A_PAN)

    kept = services.keep_offcut(
        line=pan,
        entry=OffcutEntry(width=Length.inch("6"), height=Length.inch("72")),
        on=MONDAY,
        person=ben(),
        key=new_key(),
    )

    assert kept.cost_carried == usd("33.50")


def test_a_piece_leaves_the_rack_once() -> None:
    job = a_job()
    buy(job, "material:pan", 1, "268.00")
    offcut = services.keep_offcut(
        line=line_of(job, "material:pan"),
        entry=OffcutEntry(
            width=Length.inch("6"), height=Length.inch("48"), value=usd("10.00")
        ),
        on=MONDAY,
        person=ben(),
        key=new_key(),
    )

    services.use_offcut(job=job, offcut=offcut, on=MONDAY, person=ben(), key=new_key())

    assert Offcut.objects.get().state == Offcut.State.USED
    with pytest.raises(Refusal, match="no longer on the rack"):
        services.use_offcut(
            job=job, offcut=offcut, on=MONDAY, person=ben(), key=new_key()
        )


def test_use_and_breakage_are_noted_in_the_unit_of_the_line() -> None:
    job = a_job()
    buy(job, "material:tile", 8, "70.00")

    for how, quantity in (("used", "62"), ("broken", "3.5"), ("left", "14.5")):
        services.record_use(
            line=line_of(job, "material:tile"),
            entry=UseEntry(how=how, quantity=Fraction(quantity), on=MONDAY),
            person=ben(),
            key=new_key(),
        )

    stock = queries.cost_of(job).fold.stock["material:tile"]
    assert stock.on_hand == Fraction("14.5") == stock.left
    with pytest.raises(Refusal, match="day sheet"):
        services.record_use(
            line=line_of(job, "labour:set"),
            entry=UseEntry(how="used", quantity=Fraction(1), on=MONDAY),
            person=ben(),
            key=new_key(),
        )


def test_a_job_goes_on_and_a_closed_one_takes_nothing_more() -> None:
    job = a_job()
    at = datetime(2026, 5, 18, 9, 0, tzinfo=BOOKED_AT.tzinfo)

    with pytest.raises(Refusal, match="complete it first"):
        services.change_state(job=job, state="closed", person=ada(), at=at)
    for state in ("on_site", "snagging", "complete", "closed"):
        job = services.change_state(job=job, state=state, person=ada(), at=at)

    assert job.started_on == job.closed_on == MONDAY
    with pytest.raises(Refusal, match="is closed"):
        buy(job, "material:tile", 1, "70.00")
    with pytest.raises(Refusal, match="stays closed"):
        services.change_state(job=job, state="complete", person=ada(), at=at)


def test_an_agreed_variation_joins_contract_and_budget_once() -> None:
    job = a_job()
    variation = services.propose_variation(
        job=job,
        entry=VariationEntry(
            text="A second niche",
            net=usd("240.00"),
            cost=usd("150.00"),
            tax=TaxKey(category="O", rate=Fraction(0)),
        ),
        person=ada(),
        at=BOOKED_AT,
        key=new_key(),
    )
    before = queries.contract_of(job).totals.net

    for _ in range(2):
        services.agree_variation(
            variation=variation, agreed_by="Mrs Okafor", person=ada(), at=BOOKED_AT
        )

    assert before == usd("5940.00")
    assert queries.contract_of(job).totals.net == usd("6180.00")
    assert queries.cost_of(job).report.sums.quoted == usd("1823.90")


def test_a_price_in_another_currency_is_refused() -> None:
    job = a_job()
    entry = PurchaseEntry(
        bought_on=MONDAY,
        received_on=MONDAY,
        tax_rate=Fraction(0),
        tax_recoverable=True,
        lines=(
            PurchaseLineEntry(
                budget_line=line_of(job, "material:tile"),
                packs=1,
                price_each=Money("70.00", "EUR"),
            ),
        ),
    )

    with pytest.raises(Refusal, match="USD"):
        services.record_purchase(job=job, entry=entry, person=ben(), key=new_key())
    assert Purchase.objects.count() == 0


def test_every_write_leaves_a_line_in_the_trail() -> None:
    job = a_job()
    buy(job, "material:tile", 7, "71.20")

    actions = list(AuditEntry.objects.values_list("action", flat=True))
    assert actions == ["open series", "make job", "record purchase"]


def test_the_cost_of_a_job_takes_the_same_queries_whatever_its_size(
    django_assert_num_queries: object,
) -> None:
    job = a_job()
    for _ in range(12):
        buy(job, "material:tile", 1, "70.00")

    with django_assert_num_queries(6):  # type: ignore[operator]
        queries.cost_of(job)
