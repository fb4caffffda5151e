"""One business with a row in every table that is kept as it was written."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, date, datetime
from fractions import Fraction
from pathlib import Path

from django.db import transaction
from django.test.utils import override_settings

from jobs import services
from jobs.core.invoicing import TaxKey
from jobs.models import Invoice, Job
from jobs.services import (
    DraftEntry,
    HoursEntry,
    OffcutEntry,
    PaymentEntry,
    PurchaseEntry,
    PurchaseLineEntry,
    UseEntry,
    VariationEntry,
)
from materials.core.lengths import Length
from materials.models import Material, Offcut, StoredFile, Supplier
from materials.services import audit
from materials.services.keeping import keep_bytes
from materials.services.rack import RackEntry, add_offcut, count_rack, write_off
from materials.services.reserving import reserve_offcuts
from quotes import services as quotes
from quotes.models import Acceptance, Revision
from quotes.services.offers import Agreement
from quotes.services.papers import keep_pdf as keep_offer_pdf
from tests.service.jobs.booked import (
    MONDAY,
    a_job,
    a_revision,
    ada,
    ben,
    line_of,
    new_key,
    usd,
)
from tests.service.remembered import remembered

AT = datetime(2026, 6, 1, 15, 0, tzinfo=UTC)


def a_whole_business(*, rack: bool = True) -> Job:
    """Return a job with purchases, use, hours, offcuts, a change, bills and money.

    Beside it stand a quote that is only offered and one accepted by its link. `rack`:
    with pieces counted, which earlier schemas have no column for.
    """
    remembered(f"a whole business, rack {rack}", lambda: _whole_business(rack=rack))
    return Job.objects.get()


def _whole_business(*, rack: bool) -> None:
    job = a_job()
    _noted(job.revision)
    _bought_and_used(job)
    if rack:
        _counted_rack(job, Offcut.objects.get().material)
    _agreed_change(job)
    _billed(job)
    offered = a_revision("Q-0148", state="offered", holds_until=date(2999, 1, 1))
    _noted(offered)
    quotes.make_link(revision=offered, at=AT, person=ada(), key=new_key())
    _accepted_by_link()
    for number, end in (("Q-0150", "declined"), ("Q-0151", "withdrawn")):
        _ended(number, end)
    services.change_state(job=job, state="on_site", person=ada(), at=AT)
    services.mark_finished(
        line=line_of(job, "material:tile"), finished=True, person=ada()
    )


@contextmanager
def a_standing_business(folder: Path) -> Iterator[Path]:
    """Stand up one business for many tests, and take it away after the last.

    Each test works in a savepoint of its own; what it changes among the files, it
    changes in a copy of the folder given here.
    """
    media = folder / "media"
    with override_settings(MEDIA_ROOT=media, VAR_DIR=folder), transaction.atomic():
        a_whole_business()
        yield media
        transaction.set_rollback(True)


def _noted(revision: Revision) -> None:
    """Put into the trail what `a_revision` has stored without the services."""
    name = f"quote {revision.quote.number} {revision.letter}"
    rows = [revision.quote, revision, *Acceptance.objects.filter(revision=revision)]
    audit(action="offer quote", subject=name, person=ada(), seals=rows)
    if revision.state == "accepted":
        audit(action="accepted quote", subject=name, person=None, kind="link")


def _paper(name: str) -> StoredFile:
    data = f"%PDF-1.7 {name}".encode()
    return keep_bytes(data=data, media_type="application/pdf", name=name, person=ada())


def _bought_and_used(job: Job) -> None:
    tile, pan = line_of(job, "material:tile"), line_of(job, "material:pan")
    entry = PurchaseEntry(
        supplier=Supplier.objects.get(),
        bought_on=date(2026, 5, 15),
        received_on=None,
        tax_rate=Fraction("0.0625"),
        tax_recoverable=False,
        photo=_paper("receipt"),
        lines=(
            PurchaseLineEntry(budget_line=tile, packs=8, price_each=usd("70.10")),
            PurchaseLineEntry(budget_line=pan, packs=1, price_each=usd("268.00")),
        ),
    )
    bought = services.record_purchase(job=job, entry=entry, person=ben(), key=new_key())
    services.receive_purchase(purchase=bought, on=MONDAY, person=ben())
    services.record_return(
        line=bought.lines.all()[0],
        packs=1,
        credit=usd("60.00"),
        on=MONDAY,
        person=ben(),
        key=new_key(),
    )
    services.record_use(
        line=tile,
        entry=UseEntry(how="used", quantity=Fraction(61), on=MONDAY),
        person=ben(),
        key=new_key(),
    )
    services.record_day(
        job=job,
        worker=ben(),
        on=MONDAY,
        lines=[HoursEntry(budget_line=line_of(job, "labour:set"), hours=Fraction(7))],
        person=ben(),
        key=new_key(),
    )
    kept = services.keep_offcut(
        line=pan,
        entry=OffcutEntry(width=Length.inch("20"), height=Length.inch("72"),
                          value=usd("40.00")),
        on=MONDAY,
        person=ben(),
        key=new_key(),
    )  # fmt: skip
    services.use_offcut(job=job, offcut=kept, on=MONDAY, person=ben(), key=new_key())


def _counted_rack(job: Job, material: Material) -> None:
    """Put pieces on the rack by hand: one reserved, one missed, one written off."""
    stays, missed, broken = (
        add_offcut(
            entry=RackEntry(
                material=material,
                width=Length.inch("18"),
                height=Length.inch(height),
                value=usd("12.00"),
                place="rack, upper shelf",
            ),
            on=MONDAY,
            person=ben(),
            key=new_key(),
        )
        for height in ("30", "40", "50")
    )
    count_rack(
        found=[stays.uid, broken.uid],
        missing=[missed.uid],
        on=MONDAY,
        person=ben(),
        key=new_key(),
    )
    write_off(offcut=broken, reason="Broken", on=MONDAY, person=ada(), key=new_key())
    reserve_offcuts(
        keys=[str(stays.uid)],
        job=job.number,
        visit=job.revision.quote.visit.uid,
        person=ada(),
    )


def _agreed_change(job: Job) -> None:
    for text in ("A second niche", "A bench"):
        change = services.propose_variation(
            job=job,
            entry=VariationEntry(
                text=text,
                net=usd("240.00"),
                cost=usd("90.00"),
                tax=TaxKey(category="S", rate=Fraction("0.0625")),
            ),
            person=ada(),
            at=AT,
            key=new_key(),
        )
        if text == "A second niche":
            services.agree_variation(
                variation=change, agreed_by="Mrs Okafor", person=ada(), at=AT
            )


def _issued(job: Job, kind: str, share: Fraction) -> Invoice:
    draft = services.draft_invoice(
        job=job,
        entry=DraftEntry(kind=kind, share=share),
        person=ada(),
        key=new_key(),
    )
    return services.issue_invoice(invoice=draft, person=ada(), at=AT, key=new_key())


def _billed(job: Job) -> None:
    first = _issued(job, "deposit", Fraction(3, 10))
    services.keep_pdf(invoice=first, data=b"%PDF-1.7 first", person=ada())
    services.record_payment(
        invoice=first,
        entry=PaymentEntry(amount=usd("900.00"), on=date(2026, 6, 2), way="transfer"),
        person=ada(),
        key=new_key(),
    )
    second = _issued(job, "stage", Fraction(1, 5))
    services.credit_invoice(
        invoice=second, reason="Agreed", person=ada(), at=AT, key=new_key()
    )
    services.draft_invoice(
        job=job,
        entry=DraftEntry(kind="stage", share=Fraction(1, 10)),
        person=ada(),
        key=new_key(),
    )


def _ended(number: str, end: str) -> None:
    revision = a_revision(number, state="offered", holds_until=date(2999, 1, 1))
    _noted(revision)
    if end == "declined":
        quotes.decline_revision(revision=revision, words="Too dear", at=AT)
    else:
        quotes.withdraw_revision(revision=revision, words="", at=AT, person=ada())


def _accepted_by_link() -> None:
    revision = a_revision("Q-0149", state="offered", holds_until=date(2999, 1, 1))
    _noted(revision)
    keep_offer_pdf(revision=revision, stored=_paper("Q-0149"))
    link, _token = quotes.make_link(
        revision=revision, at=AT, person=ada(), key=new_key()
    )
    quotes.accept_revision(
        revision=revision,
        agreement=Agreement(
            way="link", typed_name="Mrs Okafor", digest=revision.digest, link=link
        ),
        at=AT,
        today=AT.date(),
    )
