"""The frozen quote: exactly what was offered, its cost kept beside it.

A `Quote` is stored whole when it is offered and never recomputed. Its options each
carry two lists: `lines`, one per thing bought, hour worked or sum set aside, with cost
and price (the job's budget); and `offered`, the lines a client reads, with price and
tax only. Both lists add up to the same net sum, to the smallest coin.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from moneyed import Money

from materials.core.errors import Unknown
from materials.core.need import Step
from quotes.core import frozen

FORMAT = "gaugerod-quote-1"
"""Names the shape of a stored quote; a changed shape gets another name."""

COST_CLASSES = (
    "materials",
    "labour",
    "hire",
    "disposal",
    "subcontract",
    "travel",
    "other",
    "overhead",
    "contingency",
    "adjustment",
)
"""What a line belongs to; contingency and adjustment are no cost of a thing."""

NATURES = ("computed", "hand", "allowance", "provisional_sum", "adjustment")
"""How a line came about."""

OVERRULED = ("quantity", "packs", "hours", "cost", "price")
"""The figures the owner may set in place of the computed one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Overruled:
    """The owner's figure for one part of a line, beside the computed one."""

    what: str
    computed: str
    owner: str
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BoughtPack:
    """So many packs of one size at one price."""

    key: str
    label: str
    count: int
    content: Fraction
    each: Money
    cost: Money
    supplier: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Hours:
    """Hours of one role (setter or helper) at their wage."""

    role: str
    hours: Fraction
    wage: Money


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line of the estimate, and later of the job's budget.

    Units: `quantity` in `unit` (the need's unit; h for labour). `packs` is empty for
    what is not bought in packs. `cost` includes `purchase_tax` where that is not
    recoverable. `trimmed_off` is the share of `cost` that is cut away for good,
    already within it. `section` is the offered line that carries the price.
    """

    key: str
    cost_class: str
    text: str
    cost: Money
    price: Money
    section: str
    nature: str = "computed"
    material: str = ""
    operation: str = ""
    supplied_by: str = "us"
    quantity: Fraction = Fraction(0)
    unit: str = ""
    packs: tuple[BoughtPack, ...] = ()
    hours: tuple[Hours, ...] = ()
    left_over: Fraction = Fraction(0)
    purchase_tax: Money | None = None
    trimmed_off: Money | None = None
    places: tuple[str, ...] = ()
    overruled: tuple[Overruled, ...] = ()
    stopped: str = ""
    working: tuple[Step, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class TaxPart:
    """The part of an offered line under one tax category and rate."""

    category: str
    rate: Fraction
    base: Money


@dataclass(frozen=True, slots=True, kw_only=True)
class OfferedLine:
    """One line as the client reads it; `lines` are the keys behind it.

    Shape: `parts` has one entry per tax category and rate, adding up to `price`.
    """

    key: str
    text: str
    price: Money
    parts: tuple[TaxPart, ...]
    nature: str = "computed"
    detail: str = ""
    quantity: Fraction = Fraction(0)
    unit: str = ""
    lines: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class TaxLine:
    """The tax of one category and rate: base × rate, half up."""

    category: str
    rate: Fraction
    base: Money
    tax: Money


@dataclass(frozen=True, slots=True, kw_only=True)
class ClassTotal:
    """Cost and price of one cost class."""

    cost_class: str
    cost: Money
    price: Money


@dataclass(frozen=True, slots=True, kw_only=True)
class Totals:
    """What an option comes to.

    `cost` is the expected cost without contingency; `profit` = net − cost −
    contingency; `margin` = profit ÷ net (nil where net is nil). `trimmed_off` is
    within `cost`. `setter_hours` + `helper_hours` are the productive hours.
    """

    cost: Money
    contingency: Money
    net: Money
    tax: Money
    gross: Money
    profit: Money
    margin: Fraction
    trimmed_off: Money
    setter_hours: Fraction
    helper_hours: Fraction
    days: int
    working: tuple[Step, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """One payment: when it falls due, its share of the gross sum, its amount."""

    key: str
    label: str
    share: Fraction
    amount: Money


@dataclass(frozen=True, slots=True, kw_only=True)
class Option:
    """One way of doing the work, priced whole."""

    key: str
    label: str
    lines: tuple[Line, ...]
    offered: tuple[OfferedLine, ...]
    taxes: tuple[TaxLine, ...]
    classes: tuple[ClassTotal, ...]
    totals: Totals
    stages: tuple[Stage, ...]

    def line(self, key: str) -> Line:
        """Return the line of a key.

        Raises: Unknown if the option has no such line.
        """
        for line in self.lines:
            if line.key == key:
                return line
        raise Unknown(f"The quote has no line “{key}”.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Party:
    """Who offers, or to whom: name and the lines under it, as printed."""

    name: str
    lines: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawing:
    """One drawing as shown: its title, its words for those who cannot see it."""

    key: str
    title: str
    svg: str
    description: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Quote:
    """All that was offered, in the words and figures of the day."""

    title: str
    business: Party
    client: Party
    site: tuple[str, ...]
    scope: tuple[str, ...]
    options: tuple[Option, ...]
    currency: str
    system: str
    priced_on: date
    holds_until: date
    tax_name: str
    tax_basis: str
    number: str = ""
    revision: str = ""
    offered_on: date | None = None
    measured_on: date | None = None
    payment_days: int = 0
    by_client: tuple[str, ...] = ()
    exclusions: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    terms: tuple[str, ...] = ()
    drawings: tuple[Drawing, ...] = ()
    rounding: str = "half_up"
    program_version: str = ""
    format: str = FORMAT

    def option(self, key: str = "") -> Option:
        """Return the option of a key; without a key, the first.

        Raises: Unknown if the quote offers no such option.
        """
        for option in self.options:
            if key in ("", option.key):
                return option
        raise Unknown(f"The quote offers no option “{key}”.")


@dataclass(frozen=True, slots=True, kw_only=True)
class ClientOption:
    """One way of doing the work, as the client sees it: no cost, no hours."""

    key: str
    label: str
    offered: tuple[OfferedLine, ...]
    taxes: tuple[TaxLine, ...]
    net: Money
    tax: Money
    gross: Money
    stages: tuple[Stage, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ClientQuote:
    """The quote as the client sees it: everything of it but cost and working."""

    title: str
    number: str
    revision: str
    business: Party
    client: Party
    site: tuple[str, ...]
    scope: tuple[str, ...]
    options: tuple[ClientOption, ...]
    currency: str
    system: str
    priced_on: date
    offered_on: date | None
    measured_on: date | None
    holds_until: date
    payment_days: int
    tax_name: str
    tax_basis: str
    by_client: tuple[str, ...]
    exclusions: tuple[str, ...]
    cautions: tuple[str, ...]
    terms: tuple[str, ...]
    drawings: tuple[Drawing, ...]


def client_view(quote: Quote) -> ClientQuote:
    """Return what the client may see of a quote: no cost, margin, hours, working.

    The keys of the lines behind an offered line are left out as well: they name
    materials and operations.
    """
    fields = {
        name: getattr(quote, name)
        for name in ClientQuote.__dataclass_fields__
        if name != "options"
    }
    return ClientQuote(
        **fields, options=tuple(_client_option(option) for option in quote.options)
    )


def _client_option(option: Option) -> ClientOption:
    return ClientOption(
        key=option.key,
        label=option.label,
        offered=tuple(
            OfferedLine(
                key=f"offered-{place}",
                text=line.text,
                price=line.price,
                parts=line.parts,
                nature=line.nature,
                detail=line.detail,
                quantity=line.quantity,
                unit=line.unit,
            )
            for place, line in enumerate(option.offered, start=1)
        ),
        taxes=option.taxes,
        net=option.totals.net,
        tax=option.totals.tax,
        gross=option.totals.gross,
        stages=option.stages,
    )


def to_json(quote: Quote | ClientQuote) -> dict[str, object]:
    """Return a quote as plain JSON values; money, fractions and dates as text."""
    return frozen.plain(quote)


def from_json(stored: Mapping[str, object]) -> Quote:
    """Return the quote of stored JSON, equal to the one that was stored.

    Raises: Unknown for another format; BadRecord for what is no stored quote.
    """
    if stored.get("format") != FORMAT:
        raise Unknown(
            f"A quote stored as “{stored.get('format')}” cannot be read; "
            f"this program reads {FORMAT}."
        )
    return frozen.record(Quote, stored)


def canonical(stored: Mapping[str, object]) -> bytes:
    """Return JSON in its one spelling: sorted keys, no spaces, UTF-8."""
    return json.dumps(
        stored, sort_keys=True, separators=(",", ":"), ensure_ascii=False
    ).encode()


def digest(quote: Quote) -> str:
    """Return the SHA-256, in hexadecimal, of the quote's canonical JSON."""
    return hashlib.sha256(canonical(to_json(quote))).hexdigest()
