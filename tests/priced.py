"""Visits of the builders, priced on a fixed day."""

from __future__ import annotations

from datetime import date
from typing import Any

from materials.core.pricelist import catalogue_on
from quotes.core.document import Quote
from quotes.core.estimate import Estimate, estimate
from quotes.core.offering import quote_of
from quotes.core.visit_file import read_visit

ON = date(2026, 7, 1)


def priced_visit(file: dict[str, Any], *, on: date = ON) -> Estimate:
    """Return the estimate of a visit file that carries its prices and rates."""
    visit = read_visit(file)
    assert visit.rates is not None
    listed = visit.price_list
    catalogue = {} if listed is None else catalogue_on(listed, on)
    return estimate(visit, catalogue, visit.rates, on)


def quoted(file: dict[str, Any], *, on: date = ON) -> Quote:
    """Return the quote of a visit file that carries its prices and rates."""
    return quote_of(priced_visit(file, on=on))
