"""A price list as the cores see it: materials, their packs, and dated prices.

The stored price list and the one a visit file carries become the same records here;
`facts_on` gives a material as it is sold on a date.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from fractions import Fraction

from materials.core.errors import OutOfRange, Unknown
from materials.core.need import MaterialFacts, PackFacts
from materials.core.quantities import half_up

MILLIONTH = Fraction(1, 1_000_000)


@dataclass(frozen=True, slots=True, kw_only=True)
class SupplierFacts:
    """A merchant: delivery charge and least order in 1/10,000 of the currency."""

    name: str
    account: str = ""
    delivery_charge: int | None = None
    minimum_order: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class DatedPrice:
    """What one pack costs from a date on, before tax, in 1/10,000 of the currency.

    `least_packs` above 1 makes it a price break.
    """

    valid_from: date
    valid_until: date | None = None
    amount: int
    least_packs: int = 1
    origin: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ListedPack:
    """How a material is sold by one supplier."""

    key: str
    label: str
    content: Fraction
    content_text: str = ""
    supplier: str = ""
    supplier_code: str = ""
    lead_days: int = 0
    special_order: bool = False
    returnable: bool = True
    restocking: Fraction = Fraction(0)
    prices: tuple[DatedPrice, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class ListedMaterial:
    """A product of the list: `facts` as read, `facts_typed` as they were typed."""

    code: str
    name: str
    kind: str
    facts: Mapping[str, object]
    facts_typed: Mapping[str, object] = field(default_factory=dict)
    packs: tuple[ListedPack, ...] = ()
    suited_to: tuple[str, ...] = ()
    source: str = ""
    one_lot: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceList:
    """All materials and suppliers of one currency."""

    currency: str
    materials: tuple[ListedMaterial, ...] = ()
    suppliers: tuple[SupplierFacts, ...] = ()


def kept_content(content: Fraction) -> Fraction:
    """Return what a pack holds as the price list keeps it, in its kind's unit.

    Rounds: half up to a millionth. 50 lb is 22.6796185 kg, no whole number of the
    millionths the column counts in; half a milligram of a bag decides no purchase.
    """
    return half_up(content, MILLIONTH)


def price_on(pack: ListedPack, on: date, *, packs: int = 1) -> DatedPrice | None:
    """Return the price that holds on a date for so many packs, or None.

    The latest start wins; of prices that start alike, the highest break reached.
    """
    standing = [
        price
        for price in pack.prices
        if price.valid_from <= on
        and (price.valid_until is None or on <= price.valid_until)
        and price.least_packs <= packs
    ]
    return max(
        standing, key=lambda price: (price.valid_from, price.least_packs), default=None
    )


def facts_on(material: ListedMaterial, on: date) -> MaterialFacts:
    """Return the material with the packs that have a price on the date.

    Shape: packs without a price on the date are left out; a material with none is
    still computed, and refused only where it must be bought (`priced_packs`).
    """
    packs = []
    for pack in material.packs:
        price = price_on(pack, on)
        if price is None:
            continue
        breaks = sorted(
            (other.least_packs, other.amount)
            for other in pack.prices
            if other.least_packs > 1
            and other.valid_from == price.valid_from
            and (other.valid_until is None or on <= other.valid_until)
        )
        packs.append(
            PackFacts(
                key=pack.key,
                label=pack.label,
                content=pack.content,
                price=price.amount,
                supplier=pack.supplier,
                special_order=pack.special_order,
                lead_days=pack.lead_days,
                origin=price.origin,
                valid_from=price.valid_from.isoformat(),
                breaks=tuple(breaks),
            )
        )
    return MaterialFacts(
        code=material.code,
        name=material.name,
        kind=material.kind,
        facts=material.facts,
        packs=tuple(packs),
        suited_to=material.suited_to,
        source=material.source,
        one_lot=material.one_lot,
    )


def catalogue_on(price_list: PriceList, on: date) -> dict[str, MaterialFacts]:
    """Return every material of the list by its code, as sold on the date."""
    return {item.code: facts_on(item, on) for item in price_list.materials}


def material_of(catalogue: Mapping[str, MaterialFacts], code: str) -> MaterialFacts:
    """Return the material of a code.

    Raises: Unknown, with the nearest code where there is one.
    """
    found = catalogue.get(code)
    if found is None:
        raise Unknown(
            f"“{code[:40]}” is not in the price list; add the product or choose "
            "another one."
        )
    return found


def priced_packs(material: MaterialFacts, on: date) -> tuple[PackFacts, ...]:
    """Return the packs of a material that must be bought.

    Raises: OutOfRange when nothing of it has a price on the date.
    """
    if not material.packs:
        raise OutOfRange(
            f"{material.code} {material.name} has no price on {on.isoformat()}; "
            "enter a price that holds on that date."
        )
    return material.packs
