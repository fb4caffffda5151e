"""Reads the price list a visit file carries: suppliers, materials, packs, prices."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from materials.core import amounts
from materials.core.errors import MixedCurrencies, OutOfRange, Refusal
from materials.core.kind import Kind, read_facts
from materials.core.kinds import KINDS, kind_of
from materials.core.pricelist import (
    DatedPrice,
    ListedMaterial,
    ListedPack,
    PriceList,
    SupplierFacts,
)
from quotes.core.file_node import Node

KIND_KEYS = tuple(kind.key for kind in KINDS)


def read_price_list(node: Node) -> PriceList | None:
    """Return the file's own price list, or None where the stored one holds.

    Raises: MixedCurrencies for a list or a price of another currency than the file's;
    OutOfRange for a code given twice.
    """
    if node.value.get("price_list", "stored") == "stored":
        return None
    one = node.child("price_list")
    one.only("currency", "suppliers", "materials")
    one.demand("materials")
    _same_currency(one)
    materials = []
    seen: set[str] = set()
    for inner in one.children("materials", most=5000):
        material = _material(inner)
        if material.code in seen:
            raise OutOfRange(
                f"“{material.code}” stands twice in the price list; keep one.",
                field=inner.at("code"),
            )
        seen.add(material.code)
        materials.append(material)
    return PriceList(
        currency=node.rules.currency,
        materials=tuple(materials),
        suppliers=tuple(map(_supplier, one.children("suppliers", most=200))),
    )


def _same_currency(node: Node) -> None:
    code = node.text("currency", node.rules.currency, most=3)
    if code != node.rules.currency:
        raise MixedCurrencies(
            f"This is in {code}, the visit in {node.rules.currency}; "
            "one document has one currency.",
            field=node.at("currency"),
        )


def _supplier(node: Node) -> SupplierFacts:
    node.only("name", "account", "delivery_charge", "minimum_order")
    delivery = node.maybe_money("delivery_charge")
    minimum = node.maybe_money("minimum_order")
    return SupplierFacts(
        name=node.name_text("name", most=120),
        account=node.text("account", most=40),
        delivery_charge=None if delivery is None else amounts.to_units(delivery),
        minimum_order=None if minimum is None else amounts.to_units(minimum),
    )


def _material(node: Node) -> ListedMaterial:
    node.only(
        "code", "name", "kind", "facts", "suited_to", "source", "one_lot", "packs"
    )
    node.demand("kind")
    kind = kind_of(node.choice("kind", KIND_KEYS, ""))
    typed = dict(node.child("facts").value)
    try:
        facts = read_facts(kind, typed, system=node.rules.system)
    except Refusal as refusal:
        raise refusal.at(node.at("facts")) from refusal
    code = node.name_text("code", most=40)
    return ListedMaterial(
        code=code,
        name=node.name_text("name", most=160),
        kind=kind.key,
        facts=facts,
        facts_typed=typed,
        packs=tuple(
            _pack(one, f"{code}/{index + 1}", kind, facts)
            for index, one in enumerate(node.children("packs", most=100))
        ),
        suited_to=_words(node),
        source=node.text("source"),
        one_lot=node.yes("one_lot", default=False),
    )


def _words(node: Node) -> tuple[str, ...]:
    words = []
    for index, word in enumerate(node.items("suited_to", most=30)):
        if not isinstance(word, str):
            raise node.refuse(f"suited_to[{index}]", "Each use is a word in quotes.")
        words.append(word)
    return tuple(words)


def _pack(
    node: Node, key: str, kind: Kind, facts: Mapping[str, object]
) -> ListedPack:  # fmt: skip
    node.only(
        "label", "content", "supplier", "supplier_code", "lead_days",
        "special_order", "returnable", "restocking", "prices",
    )  # fmt: skip
    node.demand("content")
    content = node.read("content", lambda text: kind.content_of(text, facts))
    if content <= 0:
        raise OutOfRange(
            f"A pack of {kind.label.lower()} must hold something; enter how many "
            f"{kind.unit_of(facts)} it holds.",
            field=node.at("content"),
        )
    return ListedPack(
        key=key,
        label=node.name_text("label", most=80),
        content=content,
        content_text=str(node.value["content"]),
        supplier=node.text("supplier"),
        supplier_code=node.text("supplier_code", most=60),
        lead_days=node.count("lead_days", 0, least=0, most=1000),
        special_order=node.yes("special_order", default=False),
        returnable=node.yes("returnable", default=True),
        restocking=node.share("restocking", Fraction(0)),
        prices=tuple(map(_price, node.children("prices", most=200))),
    )


def _price(node: Node) -> DatedPrice:
    node.only(
        "valid_from", "valid_until", "amount", "currency", "least_packs", "origin"
    )
    _same_currency(node)
    start = node.day("valid_from")
    until = node.day("valid_until") if node.has("valid_until") else None
    if until is not None and until < start:
        raise OutOfRange(
            "This price ends before it begins; check the two dates.",
            field=node.at("valid_until"),
        )
    return DatedPrice(
        valid_from=start,
        valid_until=until,
        amount=amounts.to_units(node.money("amount")),
        least_packs=node.count("least_packs", 1, least=1, most=100_000),
        origin=node.text("origin"),
    )
