"""Whether the books hold: invoices, numbers, and what was recorded on jobs.

Amounts are compared as whole minor units, so nothing is tolerated but where a rule
says so: the final account and a credit note take what is left of a tax, which is never
further than a minor unit a line from the rate on their own base.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator

from moneyed import Money

from jobs.core import document as documents
from jobs.core.invoicing import NotInvoiceable, TaxKey, tax_on
from jobs.core.numbering import parse_document_number
from jobs.models import Invoice, Job, Series, Variation
from jobs.queries.invoices import credited_of, issued_document
from materials.core import amounts
from materials.core.amounts import to_units
from materials.core.chain import Finding
from materials.core.errors import Refusal
from materials.queries.books import Trail
from quotes.core.document import canonical

STATES = {
    "agree variation": Variation.State.AGREED,
    "decline variation": Variation.State.DECLINED,
}


def invoice_findings(trail: Trail) -> Iterator[Finding]:
    """Give what is wrong with invoices and credit notes, one by one."""
    rows = Invoice.objects.select_related("job", "pdf", "credits").order_by("pk")
    for row in rows.iterator(chunk_size=500):
        for says in (*_document_faults(row, trail), *_settled_faults(row)):
            yield Finding(check="invoices", where=str(row), says=says)


def _document_faults(row: Invoice, trail: Trail) -> Iterator[str]:
    if row.is_draft:
        if row.issued_at is not None or row.issued_by_id is not None:
            yield "a draft says that it was issued"
        return
    if hashlib.sha256(canonical(row.document)).hexdigest() != row.digest:
        yield "the issued document does not match its digest"
        return
    try:
        stored = documents.from_json(row.document)
    except Refusal as error:
        yield f"the issued document cannot be read: {error}"
        return
    said = (stored.number, stored.kind, stored.issued_on, stored.due_on)
    if (row.number, row.kind, row.issued_on, row.due_on) != said:
        yield "number, kind or dates are not those of its document"
    sums = stored.sums
    if (row.net, row.tax, row.gross, row.prepaid, row.due) != (
        sums.net, sums.tax, sums.gross, sums.prepaid, sums.due,
    ):  # fmt: skip
        yield "its sums are not those of its document"
    yield from sum_faults(stored)
    paper = trail.last.get(("keep paper", row.number or ""), {}).get("paper", "")
    if (row.pdf.digest if row.pdf else "") != paper:
        yield "its paper is not the one that was kept"


def sum_faults(stored: documents.Invoice) -> Iterator[str]:
    """Give where a document's own arithmetic does not come out (BR-CO-10 to 17)."""
    sums = stored.sums
    for line in stored.lines:
        if amounts.extend(line.price, line.quantity) != line.net:
            yield f"line “{line.text[:40]}” is not quantity × price"
    if _units(line.net for line in stored.lines) != to_units(sums.net):
        yield "the lines do not come to the net sum"
    for row in stored.taxes:
        tax = TaxKey(category=row.category, rate=row.rate)
        nets = [
            line.net
            for line in stored.lines
            if (line.category, line.rate) == (row.category, row.rate)
        ]
        if _units(nets) != to_units(row.base):
            yield f"the lines at {tax.percent} % do not come to their base"
        step = amounts.UNITS_PER_WHOLE // 10 ** amounts.minor_digits(stored.currency)
        exact = stored.kind not in ("final", "credit") and stored.tax_basis != "line"
        most = 0 if exact else step * max(len(nets), 1)
        if abs(to_units(row.amount) - to_units(tax_on(row.base, tax))) > most:
            yield f"the tax at {tax.percent} % is not that of its base"
    if _units(row.amount for row in stored.taxes) != to_units(sums.tax):
        yield "the taxes do not come to the tax"
    if to_units(sums.gross) != to_units(sums.net) + to_units(sums.tax):
        yield "net and tax do not come to the total"
    due = to_units(sums.gross) - to_units(sums.prepaid) + to_units(sums.rounding)
    if to_units(sums.due) != due:
        yield "the total less what was paid before is not what is due"


def _units(parts: Iterable[Money]) -> int:
    return sum(to_units(part) for part in parts)


def _settled_faults(row: Invoice) -> Iterator[str]:
    paid = _units(payment.amount for payment in row.payments.all())
    credited = _units(
        note.due for note in row.credit_notes.exclude(state=Invoice.State.DRAFT)
    )
    if to_units(row.paid) != paid:
        yield "what is paid is not the sum of its payments"
    if to_units(row.credited) != credited:
        yield "what is credited is not the sum of its credit notes"
    if credited > to_units(row.due):
        yield "more is credited than was due"
    if row.is_draft:
        return
    left = to_units(row.due) - paid - credited
    state = Invoice.State.ISSUED
    if row.is_credit or left <= 0:
        state = Invoice.State.SETTLED
    elif left < to_units(row.due):
        state = Invoice.State.PART_SETTLED
    if row.state != state:
        yield f"it is {row.state}; by its money it is {state}"
    if credited:
        yield from _credit_faults(row)


def _credit_faults(row: Invoice) -> Iterator[str]:
    """Give the lines and rates of which more was credited than asked for."""
    try:
        stored, taken = issued_document(row), credited_of(row)
    except NotInvoiceable:
        return  # Said already: one of the documents does not match its digest.
    lines = {line.key: to_units(line.net) for line in stored.lines}
    for key, net in taken.nets.items():
        asked = lines.get(key, 0)
        if not min(0, asked) <= to_units(net) <= max(0, asked):
            yield f"more is credited of line “{key}” than was asked for"


def number_findings(trail: Trail) -> Iterator[Finding]:
    """Give gaps, repeats and dates out of order in every series of numbers."""
    given: dict[tuple[str, int], list[tuple[int, object]]] = {}
    numbered = [
        *Invoice.objects.exclude(number=None).values_list("number", "issued_on"),
        *Job.objects.values_list("number", "booked_on"),
        *(
            (number, trail.last.get(("propose variation", number), {}).get("on"))
            for number in Variation.objects.values_list("number", flat=True)
        ),
    ]
    for text, day in numbered:
        try:
            number = parse_document_number(str(text))
        except Refusal as error:
            yield _number(str(text), str(error))
            continue
        given.setdefault((number.kind, number.year), []).append((number.count, day))
    series = {(row.kind, row.year): row for row in Series.objects.all()}
    for key in sorted({*given, *series}):
        counts = sorted(given.get(key, []), key=lambda one: one[0])
        where = f"{key[0]} {key[1] or ''}".strip()
        last = series[key].last if key in series else 0
        if [count for count, _day in counts] != list(range(1, last + 1)):
            yield _number(where, f"numbers are not 1 to {last}, each once")
        days = [str(day) for _count, day in counts if day is not None]
        if days != sorted(days):
            yield _number(where, "dates do not follow the numbers")
        if counts and counts[-1][1] is not None:
            kept = series[key].last_on if key in series else ""
            if str(kept) != days[-1]:
                yield _number(where, "the last date is not that of the last number")
    yield from _strange_counters(trail)


def _strange_counters(trail: Trail) -> Iterator[Finding]:
    """Give the counters that are not those which the trail saw opened."""
    for row in Series.objects.order_by("pk"):
        name = f"series {row.kind} {row.year}"
        if trail.last.get(("open series", name), {}).get("series", row.pk) != row.pk:
            yield _number(name, "it is not the counter that was opened")


def _number(where: str, says: str) -> Finding:
    return Finding(check="numbers", where=where, says=says)


def job_findings(trail: Trail) -> Iterator[Finding]:
    """Give jobs, changes and budget lines whose state is not as the trail has it."""
    for job in Job.objects.defer("budget").order_by("pk").iterator(chunk_size=1_000):
        moved = trail.last.get(("change job state", job.number), {})
        dates = (job.started_on, job.completed_on, job.closed_on)
        days = [str(day) if day else None for day in dates]
        said = (moved.get("to", Job.State.BOOKED), moved.get("days", [None] * 3))
        if "days" not in moved and moved:
            said = (said[0], days)
        if (job.state, days) != said:
            yield Finding(
                check="jobs",
                where=job.number,
                says="its state or days are not as noted in the trail",
            )
    for change in Variation.objects.order_by("pk"):
        state: str = Variation.State.PROPOSED
        for action in trail.orders.get(change.number, ()):
            state = STATES.get(action, state)
        unnamed = not change.agreed_by and change.agreed_on is None
        if change.state != state or (state != "agreed" and not unnamed):
            yield Finding(
                check="jobs", where=change.number, says=f"by the trail it is {state}"
            )
    yield from _unaccepted()


def _unaccepted() -> Iterator[Finding]:
    for job in Job.objects.exclude(revision__state="accepted").only("number"):
        yield Finding(
            check="jobs", where=job.number, says="its quote is not an accepted one"
        )
