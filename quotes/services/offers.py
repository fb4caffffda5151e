"""The life of a quote: drafted, offered whole, agreed to once, or ended.

An offered revision is frozen: its document, digest and totals never change again. A
changed offer is a new revision, and the old one is replaced when the new one goes out.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime, timedelta

from django.db import transaction
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from materials.core import amounts
from materials.core.errors import Refusal
from materials.models import Business, Person
from materials.services import audit, new_seed, once, owe_paper, token_of_seed
from materials.services.pricelist import saved
from quotes.core import document
from quotes.models import Acceptance, OfferLink, Quote, Revision, Visit
from quotes.queries import token_digest
from quotes.queries.estimating import draft_document, estimate_of, inputs_of
from quotes.services.lapsing import move_on

OFFER_PAPER = "offer"
"""How the outbox names the paper of an offered revision."""
LINK_GRACE = timedelta(days=14)
LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"


@transaction.atomic
def make_quote(*, visit: Visit, on: date, person: Person, key: str) -> Quote:
    """Price a visit and keep it as the first draft of a new quote.

    Raises: Refusal for whatever the core cannot price.
    """
    claim = once(
        key=key, purpose="make quote", person=person, payload={"visit": visit.pk}
    )
    if claim.outcome:
        return Quote.objects.get(pk=claim.outcome)
    quote = Quote(
        number=_next_number(on),
        visit=visit,
        title=visit.title,
        made_by=person,
        copied_from=Quote.objects.filter(visit=visit.copied_from).first()
        if visit.copied_from
        else None,
    )
    saved(quote)
    _draft(quote, "A", on)
    audit(
        action="make quote",
        subject=f"quote {quote.number}",
        person=person,
        seals=[quote],
    )
    claim.settle(quote.pk)
    return quote


def _next_number(on: date) -> str:
    """Return the next quote number of the year, under the business's lock."""
    list(Business.objects.select_for_update().filter(pk=1).values_list("pk"))
    start = f"Q{on.year}-"
    last = Quote.objects.filter(number__startswith=start).order_by("-pk").first()
    count = int(last.number.removeprefix(start)) if last else 0
    return f"{start}{count + 1:04d}"


def _draft(quote: Quote, letter: str, on: date) -> Revision:
    revision = Revision(quote=quote, letter=letter, visit_version=0, priced_on=on)
    _fill(revision, on)
    saved(revision)
    return revision


def _fill(revision: Revision, on: date) -> None:
    """Price the visit into a draft: document, inputs, totals."""
    # Read afresh: the version that is noted must be the one that is priced.
    visit = Visit.objects.select_related("site__client").get(pk=revision.quote.visit_id)
    found = estimate_of(visit, on=on)
    drawn = replace(
        draft_document(found),
        number=revision.quote.number,
        revision=revision.letter,
    )
    totals = drawn.option().totals
    revision.inputs = inputs_of(visit, found)
    revision.visit_version = visit.version
    revision.document = document.to_json(drawn)
    revision.priced_on = on
    revision.holds_until = drawn.holds_until
    revision.cost, revision.net = totals.cost, totals.net
    revision.tax, revision.gross = totals.tax, totals.gross


@transaction.atomic
def reprice_draft(*, revision: Revision, on: date) -> Revision:
    """Price a draft again, at today's sizes, prices and rates.

    Raises: Refusal for a revision that is no draft any more.
    """
    row = _locked(revision)
    _must_be(row, Revision.State.DRAFTING)
    _fill(row, on)
    saved(row)
    return row


def _locked(revision: Revision) -> Revision:
    return (
        Revision.objects.select_for_update(of=("self",))
        .select_related("quote__visit__site__client")
        .get(pk=revision.pk)
    )


def _must_be(revision: Revision, *states: str) -> None:
    if revision.state not in states:
        raise Refusal(
            _("Quote %(number)s %(letter)s is %(state)s; that cannot be done any more.")
            % {
                "number": revision.quote.number,
                "letter": revision.letter,
                "state": revision.get_state_display(),
            },
            field="state",
        )


@transaction.atomic
def offer_revision(
    *,
    revision: Revision,
    on: date,
    person: Person,
    drawings: Sequence[document.Drawing] = (),
) -> Revision:
    """Freeze a draft and offer it; an earlier offer of the quote is replaced.

    Offering twice is one offer: the first stands.

    Raises: Refusal when the visit was changed since the draft was priced.
    """
    row = _locked(revision)
    if row.state == Revision.State.OFFERED:
        return row
    _must_be(row, Revision.State.DRAFTING)
    if row.visit_version != row.quote.visit.version or row.priced_on != on:
        raise Refusal(
            _(
                "The visit or the day's prices changed since this draft was priced; "
                "price it again, look at it, then offer it."
            ),
            field="state",
        )
    stored = document.from_json(row.document)
    frozen = replace(stored, offered_on=on, drawings=tuple(drawings))
    row.document = document.to_json(frozen)
    row.digest = document.digest(frozen)
    row.state, row.offered_on = Revision.State.OFFERED, on
    move_on(
        row.quote.revisions.filter(state=Revision.State.OFFERED).exclude(pk=row.pk),
        Revision.State.REPLACED,
        person,
    )
    saved(row)
    audit(
        action="offer quote",
        subject=f"quote {row.quote.number} {row.letter}",
        person=person,
        facts={"digest": row.digest, "gross": str(row.gross.amount)},
        seals=[row],
    )
    _owe_paper(row, person)
    return row


def _owe_paper(row: Revision, person: Person) -> None:
    paper = f"{OFFER_PAPER}:{row.pk}"
    owe_paper(paper=paper, about=str(row), title=_("Paper of the offer"), person=person)


@transaction.atomic
def revise_quote(*, quote: Quote, on: date, person: Person, key: str) -> Revision:
    """Begin the next revision of a quote as a draft.

    Raises: Refusal while a draft is open, or once a revision was accepted.
    """
    claim = once(
        key=key,
        purpose="revise quote",
        person=person,
        payload={"quote": quote.pk},
    )
    if claim.outcome:
        return Revision.objects.get(pk=claim.outcome)
    states = list(quote.revisions.values_list("state", flat=True))
    if Revision.State.ACCEPTED in states:
        raise Refusal(
            _("The client has accepted this quote; a change is a variation now."),
            field="state",
        )
    if Revision.State.DRAFTING in states:
        raise Refusal(_("A draft of this quote is open already; change that one."))
    revision = _draft(quote, LETTERS[len(states) % len(LETTERS)], on)
    audit(
        action="revise quote",
        subject=f"quote {quote.number} {revision.letter}",
        person=person,
    )
    claim.settle(revision.pk)
    return revision


@transaction.atomic
def make_link(
    *,
    revision: Revision,
    at: datetime,
    person: Person,
    key: str,
    sent_to: str = "",
    seed: str = "",
) -> tuple[OfferLink, str]:
    """Make a private link to an offered revision; return it with its token.

    The token is shown once: only its SHA-256 is kept, so a repeated request gets the
    first link with an empty token. A letter that is still to be sent keeps the `seed`,
    from which the signing key makes the token again. The link ends two weeks after
    the offer does.
    """
    claim = once(
        key=key,
        purpose="make link",
        person=person,
        payload={"revision": revision.pk, "sent_to": sent_to},
    )
    if claim.outcome:
        return OfferLink.objects.get(pk=claim.outcome), ""
    row = _locked(revision)
    _must_be(row, Revision.State.OFFERED, Revision.State.ACCEPTED)
    token = token_of_seed(seed or new_seed())
    until = row.holds_until or at.date()
    expires = at.replace(hour=23, minute=59) + (until - at.date()) + LINK_GRACE
    link = OfferLink.objects.create(
        revision=row,
        token_digest=token_digest(token),
        sent_to=sent_to[:160],
        expires_at=max(expires, at + LINK_GRACE),
        made_by=person,
    )
    audit(
        action="make link",
        subject=f"quote {row.quote.number} {row.letter}",
        person=person,
        facts={"link": link.pk},
        seals=[link],
    )
    claim.settle(link.pk)
    return link, token


@transaction.atomic
def revoke_link(*, link: OfferLink, at: datetime, person: Person) -> OfferLink:
    """End a private link at once."""
    if link.revoked_at is None:
        link.revoked_at = at
        link.save(update_fields=["revoked_at"])
        audit(
            action="revoke link",
            subject=f"quote {link.revision.quote.number}",
            person=person,
            facts={"link": link.pk},
        )
    return link


@dataclass(frozen=True, slots=True, kw_only=True)
class Agreement:
    """How a client said yes: by which way, under which name, to what."""

    way: str
    typed_name: str
    digest: str
    link: OfferLink | None = None
    options: tuple[str, ...] = ()
    drawn_mark: str = ""
    circumstances: Mapping[str, object] = field(default_factory=dict)


@transaction.atomic
def accept_revision(
    *,
    revision: Revision,
    agreement: Agreement,
    at: datetime,
    today: date,
    person: Person | None = None,
) -> Acceptance:
    """Keep a client's yes with its evidence. Accepting twice is one acceptance.

    Raises: Refusal for an offer that has lapsed, was ended or replaced, without a
    typed name, or when what was shown is not what stands now.
    """
    row = _locked(revision)
    if row.state == Revision.State.ACCEPTED:
        return Acceptance.objects.get(revision=row)
    _must_be(row, Revision.State.OFFERED)
    if row.holds_until is not None and today > row.holds_until:
        raise Refusal(
            _("This offer held until %(day)s; ask for a new one.")
            % {"day": date_format(row.holds_until, _("j M Y"))}
        )
    if len(agreement.typed_name.strip()) < 2:
        raise Refusal(_("Type your name to accept."), field="typed_name")
    if agreement.digest != row.digest:
        raise Refusal(_("The offer on your screen is not the current one; reload it."))
    acceptance = Acceptance(
        revision=row,
        way=agreement.way,
        link=agreement.link,
        typed_name=agreement.typed_name.strip(),
        drawn_mark=agreement.drawn_mark,
        options=list(agreement.options),
        document_digest=row.digest,
        gross=row.gross,
        evidence=_evidence(row, agreement, at),
        accepted_at=at,
    )
    saved(acceptance)
    _ended(row, Revision.State.ACCEPTED, "", at, person)
    return acceptance


def _evidence(row: Revision, agreement: Agreement, at: datetime) -> dict[str, object]:
    """Return what proves later what was agreed to."""
    return {
        "quote": row.quote.number,
        "revision": row.letter,
        "document_sha256": row.digest,
        "pdf_sha256": row.pdf.digest if row.pdf else "",
        "total_shown": amounts.plain(row.gross),
        "currency": row.gross.currency.code,
        "typed_name": agreement.typed_name.strip(),
        "way": agreement.way,
        "link": agreement.link.pk if agreement.link else None,
        "sent_to": agreement.link.sent_to if agreement.link else "",
        "utc": at.isoformat(timespec="seconds"),
        **agreement.circumstances,
    }


@transaction.atomic
def decline_revision(
    *, revision: Revision, words: str, at: datetime, person: Person | None = None
) -> Revision:
    """Keep a client's no, with their word for it. Declining twice is one no."""
    row = _locked(revision)
    if row.state == Revision.State.DECLINED:
        return row
    _must_be(row, Revision.State.OFFERED)
    return _ended(row, Revision.State.DECLINED, words, at, person)


@transaction.atomic
def withdraw_revision(
    *, revision: Revision, words: str, at: datetime, person: Person
) -> Revision:
    """Take an offer back before it is accepted."""
    row = _locked(revision)
    _must_be(row, Revision.State.OFFERED, Revision.State.DRAFTING)
    return _ended(row, Revision.State.WITHDRAWN, words, at, person)


def _ended(
    row: Revision, state: str, words: str, at: datetime, person: Person | None
) -> Revision:
    row.state, row.end_words, row.ended_at = state, words.strip()[:300], at
    row.save(update_fields=["state", "end_words", "ended_at"])
    audit(
        action=f"{state} quote",
        subject=f"quote {row.quote.number} {row.letter}",
        person=person,
        kind="person" if person else "link",
        facts={"words": row.end_words, "digest": row.digest},
        seals=[row, *Acceptance.objects.filter(revision=row)],
    )
    return row
