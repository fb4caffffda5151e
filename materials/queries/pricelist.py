"""The price list, as rows for pages and as a record for the cores."""

from __future__ import annotations

from datetime import date

from django.core.paginator import Page, Paginator
from django.db.models import OuterRef, Prefetch, Q, QuerySet, Subquery
from django.utils import timezone

from materials.core.amounts import to_units
from materials.core.kind import read_facts
from materials.core.kinds import kind_of
from materials.core.pricelist import (
    DatedPrice,
    ListedMaterial,
    ListedPack,
    PriceList,
    SupplierFacts,
)
from materials.core.quantities import decimal_text
from materials.models import Business, Material, Pack, Price, Supplier

PAGE = 20


def suppliers() -> QuerySet[Supplier]:
    """Return the merchants, by name."""
    return Supplier.objects.order_by("name")


def materials_listed(*, words: str = "", kind: str = "") -> QuerySet[Material]:
    """Return products in use that match, packs and what they cost today with them."""
    rows = Material.objects.filter(in_use=True)
    if kind:
        rows = rows.filter(kind=kind)
    for word in words.split()[:5]:
        rows = rows.filter(Q(name__icontains=word) | Q(code__icontains=word))
    packs = _packs_with_price(timezone.localdate())
    rows = rows.only("code", "name", "kind").prefetch_related(Prefetch("packs", packs))
    return rows.order_by("kind", "name", "pk")


def material_page(*, words: str, kind: str, number: str) -> Page[Material]:
    """Return one page of the price list: four queries, whatever its size."""
    return Paginator(materials_listed(words=words, kind=kind), PAGE).get_page(number)


def material_with_packs(pk: int) -> Material | None:
    """Return a product with its packs and every price they ever had."""
    return (
        Material.objects.prefetch_related(_packs(Price.objects.all()))
        .filter(pk=pk)
        .first()
    )


def _packs_with_price(day: date) -> QuerySet[Pack]:
    """Return packs with what one costs on a day: `amount_now`, `currency_now`.

    A product's page shows every price a pack ever had; a list needs the one.
    """
    holds = Q(valid_until__isnull=True) | Q(valid_until__gte=day)
    prices = Price.objects.filter(
        holds, pack=OuterRef("pk"), least_packs=1, valid_from__lte=day
    ).order_by("-valid_from")
    return (
        Pack.objects.filter(in_use=True)
        .select_related("supplier")
        .only("label", "material_id", "supplier__name")
        .annotate(
            amount_now=Subquery(prices.values("amount")[:1]),
            currency_now=Subquery(prices.values("amount_currency")[:1]),
        )
        .order_by("label", "pk")
    )


def _packs(prices: QuerySet[Price]) -> Prefetch[str]:
    return Prefetch(
        "packs",
        Pack.objects.filter(in_use=True)
        .select_related("supplier")
        .prefetch_related(
            Prefetch("prices", prices.order_by("-valid_from", "least_packs"))
        )
        .order_by("label", "pk"),
    )


def standing_price(pack: Pack, on: date) -> Price | None:
    """Return the single-pack price that holds on a date, from fetched rows."""
    for price in pack.prices.all():
        begun = price.valid_from <= on
        ended = price.valid_until is not None and price.valid_until < on
        if price.least_packs == 1 and begun and not ended:
            return price
    return None


def stored_price_list() -> PriceList:
    """Return the whole stored price list as the cores see it: four queries."""
    business = Business.objects.get(pk=1)
    return PriceList(
        currency=business.currency,
        materials=tuple(
            listed(material, business.system)
            for material in Material.objects.filter(in_use=True)
            .prefetch_related(_packs(Price.objects.all()))
            .order_by("code")
        ),
        suppliers=tuple(_supplier(row) for row in suppliers()),
    )


def _supplier(row: Supplier) -> SupplierFacts:
    charge, least = row.delivery_charge, row.minimum_order
    return SupplierFacts(
        name=row.name,
        account=row.account,
        delivery_charge=None if charge is None else to_units(charge),
        minimum_order=None if least is None else to_units(least),
    )


def listed(material: Material, system: str) -> ListedMaterial:
    """Return a stored product as a record of the cores."""
    return ListedMaterial(
        code=material.code,
        name=material.name,
        kind=material.kind,
        facts=read_facts(kind_of(material.kind), material.facts, system=system),
        facts_typed=material.facts,
        packs=tuple(_pack(pack) for pack in material.packs.all()),
        suited_to=tuple(material.suited_to),
        source=material.facts_source,
        one_lot=material.one_lot,
    )


def _pack(pack: Pack) -> ListedPack:
    return ListedPack(
        key=str(pack.pk),
        label=pack.label,
        content=pack.content,
        content_text=decimal_text(pack.content, places=6),
        supplier=pack.supplier.name,
        supplier_code=pack.supplier_code,
        lead_days=pack.lead_days,
        special_order=pack.special_order,
        returnable=pack.returnable,
        restocking=pack.restocking,
        prices=tuple(
            DatedPrice(
                valid_from=price.valid_from,
                valid_until=price.valid_until,
                amount=to_units(price.amount),
                least_packs=price.least_packs,
                origin=price.origin,
            )
            for price in pack.prices.all()
        ),
    )
