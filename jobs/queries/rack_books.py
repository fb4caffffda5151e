"""Whether the pieces on the rack are where jobs and trail have put them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from jobs.models import OffcutMove
from materials.core.chain import Finding
from materials.models import Offcut
from materials.queries.books import Trail

COUNTED, GONE = "rack counted", "offcut written off"
RESERVED = "offcuts reserved"
End = tuple[str, str | None, str]
"""State, day and reason: how a piece left the rack, or that it did not."""
FREE = ("", "")
ON_RACK: End = (Offcut.State.ON_RACK, None, "")


def rack_findings(trail: Trail) -> Iterator[Finding]:
    """Give the pieces whose state, end, last count or job is not as it was noted.

    Steps from before these facts were noted are believed; they cannot be compared.
    """
    counts, ends = trail.facts.get(COUNTED, ()), _ends(trail)
    kept = {
        uid: (str(facts["job"]), str(facts["visit"]))
        for facts in trail.facts.get(RESERVED, ())
        for uid in facts["offcuts"]
    }
    seen = {uid: facts["on"] for facts in counts for uid in facts.get("seen", ())}
    all_noted = all("seen" in facts for facts in counts)
    for piece in Offcut.objects.order_by("pk"):
        where, uid = f"offcut {piece.pk}", str(piece.uid)
        noted = ends.get(uid, ON_RACK)
        if noted is not None and _end_of(piece) != noted:
            yield _entry(where, "where it went is not as it was moved")
        if _reserved(piece) != _wanted(piece, kept.get(uid, FREE)):
            yield _entry(where, "it is not reserved for whom it was kept")
        if all_noted and _text(piece.counted_on) != seen.get(uid):
            yield _entry(where, "it was not counted on that day")


def _reserved(piece: Offcut) -> tuple[str, str]:
    return piece.reserved_for, _text(piece.reserved_visit) or ""


def _wanted(piece: Offcut, kept: tuple[str, str]) -> tuple[str, str]:
    """Return for whom a piece is kept; what left the rack is kept for nobody."""
    return kept if piece.state == Offcut.State.ON_RACK else FREE


def _ends(trail: Trail) -> dict[str, End | None]:
    """Return how each piece that left has left by jobs and trail; None if untold."""
    found: dict[str, End | None] = {}
    for facts in trail.facts.get(GONE, ()):
        found[facts["offcut"]] = _told(Offcut.State.WRITTEN_OFF, facts)
    for facts in trail.facts.get(COUNTED, ()):
        for uid in facts.get("missing", ()):
            found[uid] = _told(Offcut.State.NOT_FOUND, facts)
    moves = (
        OffcutMove.objects.filter(way=OffcutMove.Way.FROM_RACK)
        .order_by("pk")
        .values_list("offcut__uid", "moved_on", "job__number")
    )
    for uid, day, job in moves:
        found[str(uid)] = (Offcut.State.USED, str(day), job)
    return found


def _told(state: str, facts: Mapping[str, Any]) -> End | None:
    if "on" not in facts:
        return None
    return (state, facts["on"], facts["reason"])


def _end_of(piece: Offcut) -> End:
    return (piece.state, _text(piece.ended_on), piece.end_reason)


def _text(day: object) -> str | None:
    return str(day) if day else None


def _entry(where: str, says: str) -> Finding:
    return Finding(check="entries", where=where, says=says)
