"""The part of a long price list that one visit needs."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import fields, is_dataclass
from datetime import date

from materials.core.need import MaterialFacts
from materials.core.pricelist import PriceList, catalogue_on
from materials.queries import stored_price_list
from quotes.core.sloped_floors import kinds_chosen_from
from quotes.core.visit import Visit as VisitRecord


def visit_prices(record: VisitRecord, on: date | None = None) -> PriceList:
    """Return the products a visit names or may choose from: four queries.

    Reading the facts of thousands of others takes seconds. With `on`, only prices that
    stand on that day are read.
    """
    kinds = kinds_chosen_from(record.build_ups.values())
    return stored_price_list(words_in(record), kinds=kinds, on=on)


def visit_catalogue(record: VisitRecord, on: date) -> dict[str, MaterialFacts]:
    """Return what a visit names or may choose from, as sold on a day."""
    return catalogue_on(visit_prices(record, on), on)


def words_in(value: object) -> set[str]:
    """Return every text a record holds: the codes of its products are among them."""
    if isinstance(value, str):
        return {value}
    if isinstance(value, Mapping):
        parts: Iterable[object] = [*value.keys(), *value.values()]
    elif isinstance(value, list | tuple | set | frozenset):
        parts = value
    elif is_dataclass(value):
        parts = [getattr(value, field.name) for field in fields(value)]
    else:
        return set()
    return {word for part in parts for word in words_in(part)}
