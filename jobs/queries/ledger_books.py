"""Whether the entries recorded on jobs fit each other and the trail."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from django.db.models import F, Q, Sum

from jobs.models import (
    BudgetLine,
    GoodsReturn,
    HoursLine,
    OffcutMove,
    Purchase,
    PurchaseLine,
    Usage,
)
from jobs.queries.rack_books import COUNTED, GONE, RESERVED, rack_findings
from materials.core import amounts
from materials.core.chain import Finding
from materials.queries.books import Trail

MOST_HOURS = 24
RECORDED, RECEIVED = "record purchase", "receive purchase"
FINISHED = "finish budget line"
LISTED = frozenset(
    {RECORDED, RECEIVED, FINISHED, COUNTED, GONE, RESERVED, "revoke link"}
)
"""The actions whose every step is compared with rows."""


def entry_findings(trail: Trail) -> Iterator[Finding]:
    """Give entries that do not come out, or do not belong where they stand."""
    yield from _line_faults()
    yield from _return_faults()
    yield from _strangers()
    yield from _received(trail)
    yield from _finished(trail)
    yield from rack_findings(trail)
    yield from _long_days()


def _entry(where: object, says: str) -> Finding:
    return Finding(check="entries", where=str(where), says=says)


def _line_faults() -> Iterator[Finding]:
    rows = PurchaseLine.objects.order_by("pk").only(
        "packs", "price_each", "price_each_currency", "net", "net_currency"
    )
    for line in rows.iterator(chunk_size=2_000):
        if amounts.extend(line.price_each, Fraction(line.packs)) != line.net:
            yield _entry(f"purchase line {line.pk}", "it is not packs × price")


def _return_faults() -> Iterator[Finding]:
    back = (
        GoodsReturn.objects.values("line", "line__packs", "line__quantity")
        .annotate(packs_back=Sum("packs"), quantity_back=Sum("quantity"))
        .order_by("line")
    )
    for row in back:
        too_many = row["packs_back"] > row["line__packs"]
        if too_many or row["quantity_back"] > row["line__quantity"]:
            yield _entry(
                f"purchase line {row['line']}", "more went back than was bought"
            )


def _strangers() -> Iterator[Finding]:
    """Give entries whose budget line is of another job."""
    for model, job in (
        (Usage, F("job")),
        (PurchaseLine, F("purchase__job")),
        (HoursLine, F("sheet__job")),
        (OffcutMove, F("job")),
    ):
        strange = model.objects.exclude(budget_line=None).exclude(budget_line__job=job)
        for pk in strange.values_list("pk", flat=True):
            yield _entry(
                f"{model._meta.verbose_name} {pk}", "its budget line is of another job"
            )


def _received(trail: Trail) -> Iterator[Finding]:
    noted: dict[str, object] = {}
    for action in (RECORDED, RECEIVED):
        for facts in trail.facts.get(action, ()):
            if "received" in facts:
                noted[str(facts["purchase"])] = facts["received"]
    rows = Purchase.objects.order_by("pk").values_list("pk", "uid", "received_on")
    for pk, uid, on in rows.iterator(chunk_size=2_000):
        if str(uid) in noted and noted[str(uid)] != (str(on) if on else None):
            yield _entry(f"purchase {pk}", "it did not arrive on the day noted")


def _finished(trail: Trail) -> Iterator[Finding]:
    """Compare `finished` with the last word on each line, oldest step first."""
    done: dict[int, bool] = {}
    for facts in trail.facts.get(FINISHED, ()):
        done[int(facts.get("pk", 0))] = bool(facts.get("finished", True))
    rows = BudgetLine.objects.filter(Q(finished=True) | Q(pk__in=list(done)))
    for line in rows.only("finished"):
        if line.finished != done.get(line.pk, False):
            yield _entry(f"budget line {line.pk}", "finished is not as noted")


def _long_days() -> Iterator[Finding]:
    days = (
        HoursLine.objects.values("sheet__person", "sheet__worked_on")
        .annotate(whole=Sum("hours"))
        .order_by("sheet__person", "sheet__worked_on")
    )
    for row in days:
        if row["whole"] > MOST_HOURS:
            yield _entry(
                f"day sheets of {row['sheet__worked_on']}",
                "one person has more than 24 hours",
            )
