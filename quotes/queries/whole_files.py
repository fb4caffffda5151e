"""A stored visit as a file that carries its own prices and rates.

Such a file can be priced anywhere, without this database: `manage.py price_visit`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from materials.core.errors import Unknown
from materials.core.lengths import Length
from materials.core.pricelist import ListedMaterial, PriceList
from materials.models import Business
from materials.queries import stored_price_list
from quotes.core.pricelist_writer import price_list_document
from quotes.core.visit import Visit as VisitRecord
from quotes.core.visit_writer import Document, written_visit
from quotes.models import Visit
from quotes.queries.estimating import stored_rates, visit_record


def whole_visit_file(visit: Visit) -> Document:
    """Return a visit with the products it uses, their prices, and the rates."""
    record = visit_record(visit)
    system = Business.objects.values_list("system", flat=True).get(pk=1)
    whole = replace(
        record, price_list=_used(stored_price_list(), record, system),
        rates=stored_rates(),
    )  # fmt: skip
    return written_visit(whole)


def _used(listed: PriceList, visit: VisitRecord, system: str) -> PriceList:
    codes = {
        layer.material
        for build_up in visit.build_ups.values()
        for layer in build_up.layers
    }
    materials = tuple(
        _spelled(material, system) for material in listed.materials
        if material.code in codes
    )  # fmt: skip
    return replace(listed, materials=materials)


def _spelled(material: ListedMaterial, system: str) -> ListedMaterial:
    """Return a product whose lengths say their unit: the file has its own."""
    typed: Mapping[str, object] = {
        name: value.exact_text(system) if isinstance(value, Length) else typed
        for name, typed in material.facts_typed.items()
        for value in (material.facts.get(name),)
    }
    return replace(material, facts_typed=typed)


def own_price_list(record: VisitRecord, system: str) -> Document:
    """Return a file's own price list with every length spelled with its unit.

    Raises: Refusal if the file carries none.
    """
    if record.price_list is None:
        raise Unknown("This visit file carries no price list of its own.")
    listed = replace(
        record.price_list,
        materials=tuple(_spelled(one, system) for one in record.price_list.materials),
    )
    return price_list_document(listed)
