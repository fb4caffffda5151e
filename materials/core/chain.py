"""The audit trail's chain, and what is said of what does not hold.

Each step carries the digest of the step before, so that a step changed, left out, put
in or moved shows. A seal is a digest of rows as they were written; it stands in a
step's facts, and so inside the chain.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One thing that is wrong: which check found it, where, and what."""

    check: str
    where: str
    says: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step of the trail as stored."""

    seq: int
    at: datetime
    actor: int | None
    actor_kind: str
    action: str
    subject: str
    facts: Mapping[str, object]
    previous: str
    digest: str = ""


def digest_of(facts: object) -> str:
    """Return SHA-256 of the canonical JSON of plain facts, in hexadecimal."""
    text = json.dumps(facts, sort_keys=True, separators=(",", ":"), default=str)
    return hashlib.sha256(text.encode()).hexdigest()


def step_digest(step: Step) -> str:
    """Return the chained digest of one step."""
    return digest_of(
        [
            step.seq,
            step.at.astimezone(UTC).isoformat(timespec="microseconds"),
            step.actor,
            step.actor_kind,
            step.action,
            step.subject,
            step.facts,
            step.previous,
        ]
    )


def broken_links(steps: Iterable[Step], *, last: int, head: str) -> Iterator[Finding]:
    """Give what is wrong with a chain that should end at step `last` with `head`.

    Shape: `steps` in the order of their numbers. Running time linear.
    """
    expected, previous = 1, ""
    for step in steps:
        where = f"step {step.seq}"
        if step.seq != expected:
            yield _broken(where, f"step {expected} should stand here")
        if step.previous != previous:
            yield _broken(where, "it does not follow from the step before")
        if step_digest(step) != step.digest:
            yield _broken(where, f"“{step.action}” was changed after it was written")
        expected, previous = step.seq + 1, step.digest
    if (expected - 1, previous) != (last, head):
        yield _broken(
            f"step {last}", f"the trail should end here and ends with {expected - 1}"
        )


def _broken(where: str, says: str) -> Finding:
    return Finding(check="audit trail", where=where, says=says)


def group_digest(rows: Iterable[str]) -> str:
    """Return the digest of several rows' digests, in the order given."""
    return hashlib.sha256("".join(rows).encode()).hexdigest()
