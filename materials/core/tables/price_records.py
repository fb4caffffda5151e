"""What a row of a table of prices asks for, and what becomes of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from materials.core.pricelist import DatedPrice

Verdict = Literal["new product", "new pack", "new price", "changed", "same", "refused"]


@dataclass(frozen=True, slots=True, kw_only=True)
class ProductStep:
    """A product to add, or to give another name or other facts."""

    code: str
    name: str
    kind: str
    facts: Mapping[str, object]
    is_new: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class PackStep:
    """A pack to add; `content` in the kind's unit."""

    code: str
    supplier: str
    label: str
    content: Fraction
    supplier_code: str
    lead_days: int
    special_order: bool
    returnable: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceStep:
    """A price to enter; `amount` in 1/10,000 of the currency."""

    code: str
    supplier: str
    label: str
    price: DatedPrice


Step = ProductStep | PackStep | PriceStep


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """What becomes of one row: its verdict, and what is to be done for it.

    `before` and `after` are prices in 1/10,000 of the currency; `sentence` says why a
    row is refused, or what to look at twice.
    """

    line: int
    verdict: Verdict
    code: str
    name: str = ""
    pack: str = ""
    before: int | None = None
    after: int | None = None
    sentence: str = ""
    steps: tuple[Step, ...] = ()
