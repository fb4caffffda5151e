"""Writes a price list as the document a visit file carries."""

from __future__ import annotations

from fractions import Fraction

from moneyed import Money

from materials.core import amounts
from materials.core.pricelist import (
    DatedPrice,
    ListedMaterial,
    ListedPack,
    PriceList,
    SupplierFacts,
)
from materials.core.quantities import decimal_text

Document = dict[str, object]


def number(value: Fraction) -> str:
    """Return an exact number as a text that reads back: 12.5 or 1/3.

    >>> number(Fraction(1, 3)), number(Fraction(5, 2))
    ('1/3', '2.5')
    """
    if value.denominator == 1:
        return str(value.numerator)
    if 10**9 % value.denominator == 0:
        return decimal_text(value, places=9)
    return f"{value.numerator}/{value.denominator}"


def exact_money(value: Money) -> str:
    """Return an amount as plain digits, all its decimals kept."""
    return money_of_units(amounts.to_units(value))


def money_of_units(units: int) -> str:
    """Return so many 1/10,000 of the currency as plain digits."""
    return decimal_text(Fraction(units, amounts.UNITS_PER_WHOLE), places=4)


def price_list_document(price_list: PriceList) -> Document:
    """Return the document of a price list, fields in the order of the form."""
    return {
        "currency": price_list.currency,
        "suppliers": [_supplier(one) for one in price_list.suppliers],
        "materials": [_material(one) for one in price_list.materials],
    }


def _supplier(supplier: SupplierFacts) -> Document:
    document: Document = {"name": supplier.name}
    if supplier.account:
        document["account"] = supplier.account
    if supplier.delivery_charge is not None:
        document["delivery_charge"] = money_of_units(supplier.delivery_charge)
    if supplier.minimum_order is not None:
        document["minimum_order"] = money_of_units(supplier.minimum_order)
    return document


def _material(material: ListedMaterial) -> Document:
    document: Document = {
        "code": material.code,
        "name": material.name,
        "kind": material.kind,
        "facts": dict(material.facts_typed),
    }
    if material.suited_to:
        document["suited_to"] = list(material.suited_to)
    if material.source:
        document["source"] = material.source
    if material.one_lot:
        document["one_lot"] = True
    document["packs"] = [_pack(pack) for pack in material.packs]
    return document


def _pack(pack: ListedPack) -> Document:
    document: Document = {
        "label": pack.label,
        "content": pack.content_text or number(pack.content),
    }
    if pack.supplier:
        document["supplier"] = pack.supplier
    if pack.supplier_code:
        document["supplier_code"] = pack.supplier_code
    if pack.lead_days:
        document["lead_days"] = pack.lead_days
    if pack.special_order:
        document["special_order"] = True
    if not pack.returnable:
        document["returnable"] = False
    if pack.restocking:
        document["restocking"] = number(pack.restocking)
    document["prices"] = [_price(price) for price in pack.prices]
    return document


def _price(price: DatedPrice) -> Document:
    document: Document = {
        "valid_from": price.valid_from.isoformat(),
        "amount": money_of_units(price.amount),
    }
    if price.valid_until is not None:
        document["valid_until"] = price.valid_until.isoformat()
    if price.least_packs > 1:
        document["least_packs"] = price.least_packs
    if price.origin:
        document["origin"] = price.origin
    return document
