"""Take a whole price list in: the starter list of a new business, or the demo's.

The form is that of a visit file's own price list: suppliers, then materials with
their facts, packs and dated prices, all as texts.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from django.db import transaction

from materials.core import amounts
from materials.core.kind import read_facts, read_share
from materials.core.kinds import kind_of
from materials.core.pricelist import kept_content
from materials.models import Business, Material, Pack, Person, Price, Supplier
from materials.services.keeping import audit
from materials.services.pricelist import saved


@transaction.atomic
def take_price_list(*, listed: Mapping[str, Any], person: Person | None) -> int:
    """Add every product of a list that is not there yet; return how many were new.

    Products already there, by their code, are left as they are.

    Raises: Refusal for a product that its kind does not understand.
    """
    business = Business.objects.get(pk=1)
    for row in listed.get("suppliers", []):
        if not Supplier.objects.filter(name=row["name"]).exists():
            saved(Supplier(name=row["name"], account=row.get("account", "")))
    merchants = {row.name: row for row in Supplier.objects.all()}
    known = set(Material.objects.values_list("code", flat=True))
    new = [row for row in listed["materials"] if row["code"] not in known]
    for row in new:
        _take_material(row, business, merchants)
    if new:
        audit(
            action="take price list",
            subject="price list",
            person=person,
            facts={"products": len(new)},
        )
    return len(new)


def _take_material(
    row: Mapping[str, Any], business: Business, merchants: Mapping[str, Supplier]
) -> None:
    kind = kind_of(row["kind"])
    facts = row.get("facts", {})
    read = read_facts(kind, facts, system=business.system)
    material = Material(
        code=row["code"],
        name=row["name"],
        kind=kind.key,
        facts=facts,
        suited_to=row.get("suited_to", []),
        facts_source=row.get("source", ""),
        one_lot=row.get("one_lot", False),
    )
    saved(material)
    for packed in row.get("packs", []):
        pack = Pack(
            material=material,
            supplier=merchants[packed["supplier"]],
            supplier_code=packed.get("supplier_code", ""),
            label=packed["label"],
            content=kept_content(kind.content_of(str(packed["content"]), read)),
            lead_days=packed.get("lead_days", 0),
            special_order=packed.get("special_order", False),
            returnable=packed.get("returnable", True),
            restocking=read_share(str(packed.get("restocking", "0"))),
        )
        saved(pack)
        for price in packed.get("prices", []):
            _take_price(price, pack, business.currency)


def _take_price(row: Mapping[str, Any], pack: Pack, code: str) -> None:
    until = row.get("valid_until")
    saved(
        Price(
            pack=pack,
            valid_from=date.fromisoformat(row["valid_from"]),
            valid_until=date.fromisoformat(until) if until else None,
            least_packs=row.get("least_packs", 1),
            amount=amounts.unit_price(str(row["amount"]), code),
            origin=row.get("origin", ""),
        )
    )
