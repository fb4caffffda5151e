"""One of everything that an address can name, and the arguments of every address."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import timedelta
from typing import Any
from uuid import uuid4

from django.db import transaction
from django.test.utils import override_settings
from django.urls import reverse
from django.utils import timezone

from jobs import services as jobs
from jobs.models import Invoice, Job
from jobs.services import (
    DraftEntry,
    PurchaseEntry,
    PurchaseLineEntry,
    VariationEntry,
)
from materials.core.lengths import Length
from materials.models import Business, Material, Outgoing, Person, StoredFile
from materials.models.guarding import lowered
from materials.services.keeping import keep_bytes
from materials.services.rack import RackEntry, add_offcut
from quotes.models import OfferLink, Revision, Surface
from quotes.services import make_link
from quotes.services.offers import Agreement, accept_revision
from quotes.services.papers import keep_pdf as keep_offer_pdf
from tests.service.jobs.test_pages import a_photo
from tests.service.office import (
    WALL,
    a_hand_line,
    a_pack,
    a_person,
    a_space,
    a_stocked_business,
    a_visit,
    ada,
    an_offer,
    ben,
    new_key,
    pounds,
    send,
    signed_in,
)

NUMBER_NOBODY_HAS = "Q2001-9999"
LINKS = ("this", "other", "expired", "revoked", "unknown")


@dataclass(slots=True)
class WholeOffice:
    """`places` holds the arguments of an address, `closed` those of a closed job.

    `missing` names nothing that is there; `foreign` what is there, but elsewhere: under
    an address of its neighbour. `links` are tokens by their state.
    """

    places: dict[str, list[Any]] = field(default_factory=dict)
    closed: dict[str, list[Any]] = field(default_factory=dict)
    missing: dict[str, list[Any]] = field(default_factory=dict)
    foreign: list[tuple[str, list[Any]]] = field(default_factory=list)
    links: dict[str, str] = field(default_factory=dict)

    def address(self, name: str) -> str:
        return reverse(name, args=self.places.get(name, []))


def ended() -> Person:
    return a_person("ned", Person.Role.OWNER)


@contextmanager
def a_whole_office(media: Any) -> Iterator[WholeOffice]:
    """Stand up one of everything, and take all of it away afterwards."""
    with override_settings(MEDIA_ROOT=media), transaction.atomic():
        yield _stood_up()
        transaction.set_rollback(True)


def _stood_up() -> WholeOffice:
    a_stocked_business()
    office, owner = WholeOffice(), signed_in(ada())
    ended()
    pack, space = a_pack(), a_space()
    send(owner, "build-ups", space.visit.uid, template="kitchen-wall")
    # Nothing lies on the wall: who may open a page does not hang on what is set out.
    send(owner, "add-surface", space.uid, **WALL)
    send(owner, "add-photo", space.visit.uid, photo=a_photo())
    offer = _offered(office, space.visit)
    _of_materials(office, pack)
    _of_a_visit(office, space, offer)
    _of_a_job(office)
    return office


def _offered(office: WholeOffice, visit: Any) -> Revision:
    """Offer a visit, and another; give out links of every state."""
    line = a_hand_line(visit)
    offer, other = an_offer(visit), an_offer()
    for revision in (offer, other):
        _paper_of_offer(revision)
    office.links = {
        "this": _link(offer)[1],
        "other": _link(other)[1],
        "unknown": "x" * 43,
    }
    for state, change in (
        ("expired", {"expires_at": timezone.now() - timedelta(seconds=1)}),
        ("revoked", {"revoked_at": timezone.now()}),
    ):
        link, office.links[state] = _link(offer)
        with lowered():
            OfferLink.objects.filter(pk=link.pk).update(**change)
    office.places |= {
        name: [office.links["this"]]
        for name in ("offer", "offer-paper", "decline-offer", "accept-offer")
    }
    office.places["remove-choice"] = [visit.uid, "hand-line", line.pk]
    office.foreign += [
        ("remove-choice", [other.quote.visit.uid, "hand-line", line.pk]),
        ("build-up", [other.quote.visit.uid, "kitchen-wall"]),
        ("quote-paper", [other.quote.number, "Z"]),
    ]
    return offer


def _link(revision: Revision) -> tuple[OfferLink, str]:
    return make_link(revision=revision, at=timezone.now(), person=ada(), key=new_key())


def _paper_of_offer(revision: Revision) -> None:
    name = f"{revision.quote.number}.pdf"
    data = f"%PDF-1.7 {name}".encode()
    stored = keep_bytes(
        data=data, media_type="application/pdf", name=name, person=ada()
    )
    keep_offer_pdf(revision=revision, stored=stored)


def _of_materials(office: WholeOffice, pack: Any) -> None:
    piece = add_offcut(
        entry=RackEntry(
            material=Material.objects.filter(kind="backer_board")[0],
            width=Length.mm("600"),
            height=Length.mm("900"),
            value=pounds("2.50"),
        ),
        on=timezone.localdate(),
        person=ada(),
        key=new_key(),
    )
    letter = Outgoing.objects.filter(kind="paper")[0]
    office.places |= {
        "change-person": [ben().pk],
        "add-product": ["tile"],
        "product": [pack.material_id],
        "add-pack": [pack.material_id],
        "change-price": [pack.pk],
        "write-off": [piece.uid],
        "release-offcut": [piece.uid],
        "decide-outgoing": [letter.uid, "give-up"],
        "remove-factor": [1],
        "price-table-out": ["csv"],
        "books-out": ["sales", "csv"],
        "judged-sheet": [_a_price_sheet().digest],
    }
    office.missing |= {
        "change-person": [10**6],
        "add-product": ["marmalade"],
        "product": [10**6],
        "add-pack": [10**6],
        "change-price": [10**6],
        "write-off": [uuid4()],
        "release-offcut": [uuid4()],
        "decide-outgoing": [uuid4(), "give-up"],
        "kept-file": ["0" * 64],
        "remove-factor": [10**6],
        "price-table-out": ["ods"],
        "books-out": ["marmalade", "csv"],
        "judged-sheet": ["0" * 64],
    }
    office.foreign.append(("decide-outgoing", [letter.uid, "frame-it"]))


def _a_price_sheet() -> StoredFile:
    data = b"code,price\nNOBODY-HAS,12.40\n"
    return keep_bytes(data=data, media_type="text/csv", name="new.csv", person=ada())


def _of_a_visit(office: WholeOffice, space: Any, offer: Revision) -> None:
    visit, quote, surface = space.visit, offer.quote, Surface.objects.get()
    alone = (
        "visit", "change-visit", "copy-visit", "visit-changes", "visit-file",
        "add-space", "add-photo", "build-ups", "buy", "price", "make-quote",
        "cut-list", "cut-list-paper", "look-deeper",
    )  # fmt: skip
    spaces = ("space", "add-surface", "draw-surface")
    surfaces = ("surface", "set-outs")
    quotes = ("quote", "mail-quote")
    office.places |= {
        **{name: [visit.uid] for name in alone},
        **{name: [space.uid] for name in spaces},
        **{name: [surface.uid] for name in surfaces},
        **{name: [quote.number] for name in quotes},
        "kept-file": [visit.photos.get().file.digest],
        "build-up": [visit.uid, "kitchen-wall"],
        "choice": [visit.uid, "hand-line"],
        "quote-paper": [quote.number, "A"],
        "act-on-quote": [quote.number, "revise"],
        "revoke-link": [offer.links.all()[0].pk],
    }
    office.missing |= {
        **{name: [uuid4()] for name in (*alone, *spaces, *surfaces)},
        **{name: [NUMBER_NOBODY_HAS] for name in quotes},
        "build-up": [uuid4(), "kitchen-wall"],
        "choice": [uuid4(), "hand-line"],
        "remove-choice": [uuid4(), "hand-line", 1],
        "quote-paper": [NUMBER_NOBODY_HAS, "A"],
        "act-on-quote": [NUMBER_NOBODY_HAS, "revise"],
        "revoke-link": [10**6],
    }
    office.foreign += [
        ("choice", [visit.uid, "bribe"]),
        ("act-on-quote", [quote.number, "frame-it"]),
    ]


def _a_job() -> Job:
    revision = an_offer(a_priced_visit())
    now = timezone.now()
    accept_revision(
        revision=revision,
        agreement=Agreement(
            way="on_site",
            typed_name="Mrs Okafor",
            digest=revision.digest,
            options=(revision.document["options"][0]["key"],),
        ),
        at=now,
        today=timezone.localdate(),
        person=ada(),
    )
    return jobs.make_job(revision=revision, person=ada(), at=now, key=new_key())


def a_priced_visit() -> Any:
    visit = a_visit()
    a_hand_line(visit)
    return visit


def _of_a_job(office: WholeOffice) -> None:
    job, closed = _a_job(), _a_job()
    places = _places_of(job)
    office.closed = _places_of(closed)
    Job.objects.filter(pk=closed.pk).update(state=Job.State.CLOSED)
    office.places |= places | _bills(job)
    number = [NUMBER_NOBODY_HAS]
    office.missing |= {name: number + args[1:] for name, args in places.items()}
    office.missing |= {
        name: [uuid4(), *args[1:]] for name, args in office.places.items()
        if name.endswith("-invoice") or name in ("invoice", "invoice-paper")
    }  # fmt: skip
    mine, theirs = places, office.closed
    office.foreign += [
        (name, [theirs[name][0], mine[name][1]])
        for name in ("finish-line", "receive-purchase")
    ]
    office.foreign += [
        ("settle-variation", [closed.number, "V7"]),
        ("ask-share", [job.number, "final"]),
        ("mail-invoice", [office.places["mail-invoice"][0], "threat"]),
    ]


def _places_of(job: Job) -> dict[str, list[Any]]:
    """Return the arguments of every address that names a job."""
    line = job.budget_lines.all()[0]
    bought = _bought(job, line)
    change = jobs.propose_variation(
        job=job,
        entry=VariationEntry(
            text="A second niche",
            net=pounds("240.00"),
            cost=pounds("90.00"),
            tax=_tax_of(job),
        ),
        person=ada(),
        at=timezone.now(),
        key=new_key(),
    )
    quote = job.revision.quote.number
    alone = (
        "job", "job-cut-list", "job-cut-list-paper", "job-cost", "move-job",
        "record-purchase", "record-return", "record-use", "keep-offcut", "use-offcut",
        "record-day", "job-invoices", "ask-rest", "add-variation",
    )  # fmt: skip
    return {
        **{name: [job.number] for name in alone},
        "accept-here": [quote],
        "job-of-quote": [quote],
        "finish-line": [job.number, line.pk],
        "receive-purchase": [job.number, bought.pk],
        "ask-share": [job.number, "stage"],
        "settle-variation": [job.number, change.number],
    }


def _tax_of(job: Job) -> Any:
    from jobs import queries

    return queries.contract_of(job).totals.rows[0].tax


def _bought(job: Job, line: Any) -> Any:
    business = Business.objects.get()
    return jobs.record_purchase(
        job=job,
        entry=PurchaseEntry(
            bought_on=timezone.localdate(),
            received_on=None,
            tax_rate=business.purchase_tax,
            tax_recoverable=business.purchase_tax_recoverable,
            lines=(
                PurchaseLineEntry(
                    budget_line=None,
                    packs=1,
                    price_each=pounds("9.50"),
                    text="Spacers",
                ),
            ),
        ),
        person=ada(),
        key=new_key(),
    )


def _bills(job: Job) -> dict[str, list[Any]]:
    """Return the arguments of every address that names an invoice."""
    draft, issued = _drafted(job), _drafted(job)
    jobs.issue_invoice(invoice=issued, person=ada(), at=timezone.now(), key=new_key())
    issued.refresh_from_db()
    jobs.keep_pdf(invoice=issued, data=b"%PDF-1.7 invoice", person=ada())
    return {
        **{
            name: [issued.uid]
            for name in (
                "invoice", "invoice-paper", "pay-invoice", "credit-invoice",
            )
        },
        **{
            name: [draft.uid]
            for name in ("issue-invoice", "refresh-invoice", "discard-invoice")
        },
        "mail-invoice": [issued.uid, "invoice"],
    }  # fmt: skip


def _drafted(job: Job) -> Invoice:
    from fractions import Fraction

    return jobs.draft_invoice(
        job=job,
        entry=DraftEntry(kind="stage", share=Fraction(1, 10), title="A tenth"),
        person=ada(),
        key=new_key(),
    )
