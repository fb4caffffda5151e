"""From an estimate to the quote that is offered: its figures under their words."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from quotes.core import document, frozen
from quotes.core.cautions import for_client
from quotes.core.document import Drawing, Party, Quote
from quotes.core.estimate import Estimate
from quotes.core.taken import MeasuredSurface

NOBODY = Party(name="")


@dataclass(frozen=True, slots=True, kw_only=True)
class Heading:
    """What stands over a quote beside its figures; all of it may be left out."""

    business: Party = NOBODY
    number: str = ""
    revision: str = ""
    offered_on: date | None = None
    drawings: tuple[Drawing, ...] = ()
    program_version: str = ""


def quote_of(found: Estimate, heading: Heading | None = None) -> Quote:
    """Return the quote of an estimate, ready to be frozen.

    Shape: scope in paragraphs as they were typed; work that is stopped stands among
    the exclusions.
    """
    heading = heading or Heading()
    visit = found.visit
    stopped = [
        f"{line.text}: {line.stopped}"
        for line in found.option.lines
        if line.stopped and not line.price.amount
    ]
    return Quote(
        title=visit.title,
        business=heading.business,
        client=Party(name=visit.client.name, lines=_lines(visit.client.address)),
        site=_lines(visit.site.address),
        scope=_lines(visit.terms.scope) or _scope(found),
        options=(found.option,),
        currency=visit.currency,
        system=visit.system,
        priced_on=found.on,
        holds_until=(heading.offered_on or found.on)
        + timedelta(days=visit.terms.holds_days),
        tax_name=found.tax.name,
        tax_basis=found.tax.basis,
        number=heading.number,
        revision=heading.revision,
        offered_on=heading.offered_on,
        measured_on=visit.measured_on,
        payment_days=visit.terms.payment_days,
        by_client=found.by_client,
        exclusions=(*visit.terms.exclusions, *stopped),
        cautions=for_client(found.cautions),
        terms=_lines(visit.terms.text),
        drawings=heading.drawings,
        program_version=heading.program_version,
    )


def _lines(text: str) -> tuple[str, ...]:
    return tuple(line.strip() for line in text.splitlines() if line.strip())


def _scope(found: Estimate) -> tuple[str, ...]:
    """Return the scope in plain words where nobody wrote one: parts and places."""
    parts = [line.text for line in found.option.offered if line.nature == "computed"]
    words = []
    if parts:
        words.append(f"The work: {'; '.join(parts)}.")
    if found.takeoff.surfaces:
        words.append(_where(found.takeoff.surfaces))
    return tuple(words)


def _where(surfaces: Sequence[MeasuredSurface]) -> str:
    """Return the places of the work, a sentence for each space.

    Shape: surfaces that end in the same word share it: `back, left and right wall`. A
    surface does not repeat the name of its space.
    """
    spaces: dict[str, dict[str, None]] = {}
    for surface in surfaces:
        names = spaces.setdefault(surface.space, {})
        names[_within(surface.surface, surface.space)] = None
    return " ".join(f"{space}: {', '.join(_shared(n))}." for space, n in spaces.items())


def _within(name: str, space: str) -> str:
    """Return a surface's name as it reads after that of its space."""
    start = f"{space} "
    own = name[len(start) :] if name.casefold().startswith(start.casefold()) else name
    return own if own[1:2].isupper() else own[:1].lower() + own[1:]


def _shared(names: Iterable[str]) -> list[str]:
    """Return names with those that end in the same word gathered, in their order."""
    ends: dict[str, list[str]] = {}
    for name in names:
        start, _space, end = name.rpartition(" ")
        ends.setdefault(end, []).append(start)
    return [_gathered(starts, end) for end, starts in ends.items()]


def _gathered(starts: Sequence[str], end: str) -> str:
    if len(starts) == 1 or "" in starts:
        return ", ".join(f"{start} {end}".strip() for start in starts)
    return f"{', '.join(starts[:-1])} and {starts[-1]} {end}"


def estimate_json(found: Estimate, quote: Quote) -> dict[str, object]:
    """Return the estimate as plain JSON: the needs, then the quote with its digest.

    Shape: equal estimates give equal JSON; nothing in it depends on the process.
    """
    return {
        "format": "gaugerod-estimate-1",
        "visit": found.visit.id,
        "priced_on": found.on.isoformat(),
        "needs": [
            {
                "material": need.material,
                "unit": need.unit,
                "quantity": str(need.quantity),
                "loss": str(need.loss),
                "bound": need.bound,
                "places": list(need.places),
                "supplied_by": need.supplied_by,
                "working": [frozen.plain(step) for step in need.working],
            }
            for need in found.takeoff.needs
        ],
        "quote": document.to_json(quote),
        "digest": document.digest(quote),
    }
