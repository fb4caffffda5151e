"""The price list, as rows for pages and as a record for the cores."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date

from django.core.paginator import Page
from django.db.models import (
    FilteredRelation,
    OuterRef,
    Prefetch,
    Q,
    QuerySet,
    Subquery,
)
from django.utils import timezone
from moneyed import Money

from materials.core.amounts import from_units, to_units, units_of
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
from materials.queries.paging import page_of

PAGE = 20


def suppliers() -> QuerySet[Supplier]:
    """Return the merchants, by name."""
    return Supplier.objects.order_by("name")


@dataclass(frozen=True, slots=True, kw_only=True)
class PackListed:
    """One pack on the list of products, with the price of the day."""

    label: str
    supplier: str
    price: Money | None


@dataclass(frozen=True, slots=True, kw_only=True)
class MaterialListed:
    """One product on the list: its kind is the key of it."""

    pk: int
    code: str
    name: str
    kind: str
    packs: tuple[PackListed, ...]


def material_page(*, words: str, kind: str, number: str) -> Page[MaterialListed]:
    """Return one page of products in use: three queries, whatever the size."""
    rows = Material.objects.filter(in_use=True)
    if kind:
        rows = rows.filter(kind=kind)
    for word in words.split()[:5]:
        rows = rows.filter(Q(name__icontains=word) | Q(code__icontains=word))
    return page_of(rows.order_by("kind", "name", "pk"), PAGE, number, _listed_today)


def _listed_today(rows: QuerySet[Material]) -> list[MaterialListed]:
    """Return products with their packs and what they cost today: two queries."""
    found = list(rows.values_list("pk", "code", "name", "kind"))
    packs = packs_listed([pk for pk, *_rest in found], on=timezone.localdate())
    return [
        MaterialListed(
            pk=pk, code=code, name=name, kind=kind, packs=tuple(packs.get(pk, ()))
        )
        for pk, code, name, kind in found
    ]


def material_with_packs(pk: int) -> Material | None:
    """Return a product with its packs and every price they ever had."""
    return (
        Material.objects.prefetch_related(_packs(Price.objects.all()))
        .filter(pk=pk)
        .first()
    )


def packs_listed(materials: list[int], *, on: date) -> dict[int, list[PackListed]]:
    """Return the packs in use of products, each with what it costs on a day: one query.

    A product's page shows every price a pack ever had; a list needs the one.
    """
    standing = Price.objects.filter(
        _holding(on), pack=OuterRef("pk"), least_packs=1, valid_from__lte=on
    ).order_by("-valid_from")
    now = Q(prices__pk=Subquery(standing.values("pk")[:1]))
    rows = (
        Pack.objects.filter(in_use=True, material__in=materials)
        .annotate(now=FilteredRelation("prices", condition=now))
        .order_by("label", "pk")
    )
    found: dict[int, list[PackListed]] = {}
    for material, label, supplier, amount, code in rows.values_list(
        "material_id", "label", "supplier__name", "now__amount", "now__amount_currency"
    ):
        price = None if amount is None else from_units(units_of(amount), code)
        pack = PackListed(label=label, supplier=supplier, price=price)
        found.setdefault(material, []).append(pack)
    return found


def _holding(on: date) -> Q:
    return Q(valid_until__isnull=True) | Q(valid_until__gte=on)


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


def stored_price_list(
    codes: Collection[str] | None = None,
    *,
    kinds: Collection[str] = (),
    on: date | None = None,
) -> PriceList:
    """Return the stored price list as the cores see it: four queries.

    With `codes`, the products of these and of the `kinds`; with `on`, of each pack the
    price that stands on that day and its breaks, else all it ever had.
    """
    business = Business.objects.get(pk=1)
    rows = Material.objects.filter(in_use=True)
    if codes is not None:
        rows = rows.filter(Q(code__in=codes) | Q(kind__in=kinds))
    prices = Price.objects.all() if on is None else _standing(on)
    return PriceList(
        currency=business.currency,
        materials=tuple(
            listed(material, business.system)
            for material in rows.prefetch_related(_packs(prices)).order_by("code")
        ),
        suppliers=tuple(_supplier(row) for row in suppliers()),
    )


def _standing(on: date) -> QuerySet[Price]:
    """Return of each pack the price that stands on a day, with its breaks."""
    standing = Price.objects.filter(_holding(on), valid_from__lte=on)
    single = standing.filter(pack=OuterRef("pack"), least_packs=1)
    newest = single.order_by("-valid_from").values("valid_from")[:1]
    return standing.filter(valid_from=Subquery(newest))


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
