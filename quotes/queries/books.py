"""Whether offers and acceptances still say what they said."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterator

from materials.core.chain import Finding
from materials.core.errors import Refusal
from materials.queries.books import Trail
from quotes.core import document
from quotes.core.document import canonical
from quotes.models import Acceptance, OfferLink, Quote, Revision

CHECK = "quotes"
ENDS = ("accepted", "declined", "lapsed", "withdrawn", "replaced")
NUMBER = re.compile(r"Q-?([0-9]{4})-([0-9]{4,})")


def quote_findings(trail: Trail) -> Iterator[Finding]:
    """Give what is wrong with offers, the evidence of a yes, and private links."""
    rows = (
        Revision.objects.select_related("quote", "pdf", "acceptance")
        .defer("inputs")
        .order_by("pk")
    )
    for row in rows.iterator(chunk_size=500):
        where = str(row)
        for says in (*_document_faults(row), *_life_faults(row, trail)):
            yield Finding(check=CHECK, where=where, says=says)
    yield from _link_faults(trail)
    yield from _number_faults()


def _document_faults(row: Revision) -> Iterator[str]:
    if not row.digest:
        return
    if hashlib.sha256(canonical(row.document)).hexdigest() != row.digest:
        yield "the frozen document does not match its digest"
        return
    try:
        stored = document.from_json(row.document)
        totals = stored.option().totals
    except Refusal as error:
        yield f"the frozen document cannot be read: {error}"
        return
    said = (totals.cost, totals.net, totals.tax, totals.gross)
    if (row.cost, row.net, row.tax, row.gross) != said:
        yield "its sums are not those of its document"
    if totals.gross != totals.net + totals.tax:
        yield "net and tax do not come to the total"


def _life_faults(row: Revision, trail: Trail) -> Iterator[str]:
    subject = f"quote {row.quote.number} {row.letter}"
    done = [step.split()[0] for step in trail.orders.get(subject, ())]
    state = "drafting"
    for word in done:
        if word == "offer":
            state = "offered"
        elif word in ENDS:
            state = word
    if row.state != state:
        yield f"it is {row.state}; by the trail it is {state}"
    if (row.end_words or row.ended_at) and state in ("drafting", "offered"):
        yield "it has an end and was not ended"
    paper = trail.last.get(("keep paper", subject), {}).get("paper", "")
    if (row.pdf.digest if row.pdf else "") != paper:
        yield "its paper is not the one that was kept"
    yes: Acceptance | None = getattr(row, "acceptance", None)
    if (yes is not None) != (row.state == Revision.State.ACCEPTED):
        yield "acceptance and state do not agree"
    if yes is not None:
        yield from _evidence_faults(row, yes)


def _evidence_faults(row: Revision, yes: Acceptance) -> Iterator[str]:
    if yes.document_digest != row.digest or yes.gross != row.gross:
        yield "the client agreed to another document or sum"
    shown = yes.evidence.get("document_sha256", row.digest)
    paper = yes.evidence.get("pdf_sha256", "")
    if shown != row.digest or (paper and row.pdf and paper != row.pdf.digest):
        yield "the evidence names another document"


def _link_faults(trail: Trail) -> Iterator[Finding]:
    revoked = {facts.get("link") for facts in trail.facts.get("revoke link", ())}
    for link in OfferLink.objects.select_related("revision__quote").only(
        "revoked_at", "revision__letter", "revision__quote__number"
    ):
        if (link.pk in revoked) != (link.revoked_at is not None):
            yield Finding(
                check=CHECK,
                where=str(link),
                says="whether it was ended is not as noted",
            )


def _number_faults() -> Iterator[Finding]:
    """Give gaps and repeats in the numbers of quotes, year by year."""
    years: dict[str, list[int]] = {}
    for number in Quote.objects.order_by("pk").values_list("number", flat=True):
        match = NUMBER.fullmatch(number)
        if match is not None:
            years.setdefault(match[1], []).append(int(match[2]))
    for year, counts in sorted(years.items()):
        if sorted(counts) != list(range(1, len(counts) + 1)):
            yield Finding(
                check=CHECK,
                where=f"numbers of {year}",
                says="they are not 1 to the last",
            )
