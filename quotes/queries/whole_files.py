"""A stored visit as a file that carries its own prices and rates.

Such a file can be priced anywhere, without this database: `manage.py price_visit`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from materials.core.errors import Unknown
from materials.core.lengths import Length
from materials.core.pricelist import ListedMaterial
from materials.models import Business
from quotes.core.pricelist_writer import price_list_document
from quotes.core.visit import Visit as VisitRecord
from quotes.core.visit_writer import Document, written_visit
from quotes.models import Visit
from quotes.queries.estimating import stored_rates, visit_record
from quotes.queries.visit_prices import visit_prices


def whole_visit_file(visit: Visit) -> Document:
    """Return a visit, the products it uses or chooses from, and rates."""
    record = visit_record(visit)
    system = Business.objects.values_list("system", flat=True).get(pk=1)
    listed = visit_prices(record)
    used = tuple(_spelled(material, system) for material in listed.materials)
    whole = replace(
        record, price_list=replace(listed, materials=used), rates=stored_rates()
    )
    return written_visit(whole)


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
