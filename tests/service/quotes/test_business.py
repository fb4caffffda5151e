"""The page of the business: what was entered comes back as it was entered."""

from __future__ import annotations

import re

import pytest

from materials.core import amounts
from quotes.models import Rates
from quotes.queries.estimating import stored_rates
from tests.service.office import ada, send, signed_in, text_of

pytestmark = pytest.mark.django_db

ENTRY = {
    "name": "Fennick and Osei", "country": "GB", "currency": "GBP",
    "system": "metric", "paper": "a4", "tax_name": "VAT", "sales_tax": "20",
    "sales_tax_on": "everything",
    "purchase_tax": "20", "setter_wage": "31", "helper_wage": "19.40",
    "overhead_yearly": "12000", "productive_hours": "1130", "hours_per_day": "8",
    "method": "markup", "materials_rate": "20", "labour_rate": "20",
    "other_rate": "10", "contingency": "5", "deposit": "25", "holds_days": "30",
    "payment_days": "14",
}  # fmt: skip


def shown(page: str, name: str) -> str:
    field = re.search(rf'<input[^>]*name="{name}"[^>]*>', page)
    assert field is not None
    value = re.search(r'value="([^"]*)"', field[0])
    return value[1] if value else ""


def test_overhead_and_hours_of_a_year_come_back_and_make_the_hour() -> None:
    browser = signed_in(ada())

    send(browser, "business", **ENTRY)

    page = text_of(browser, "business")
    assert shown(page, "productive_hours") == "1130"
    assert shown(page, "overhead_yearly") == "12000"
    # 12,000 / 1,130 = 10.61946..., half up to four decimals.
    hour = Rates.objects.get(pk=1).overhead_per_hour
    assert amounts.to_units(hour) == 106_195


def test_the_same_page_saved_again_changes_no_rate() -> None:
    browser = signed_in(ada())
    send(browser, "business", **ENTRY)
    first = Rates.objects.values().get(pk=1)

    page = text_of(browser, "business")
    again = {
        name: shown(page, name) or value
        for name, value in ENTRY.items()
        if name not in ("currency", "system", "paper", "method", "sales_tax_on")
    }
    send(browser, "business", **{**ENTRY, **again})

    assert Rates.objects.values().get(pk=1) == first


def test_tax_on_goods_alone_is_asked_for_and_reaches_the_price() -> None:
    browser = signed_in(ada())

    send(browser, "business", **{**ENTRY, "sales_tax_on": "materials"})

    rates = stored_rates()
    assert rates.taxed_classes == ("materials",)
    send(browser, "business", **{**ENTRY, "sales_tax_on": "everything"})
    assert stored_rates().taxed_classes == ()
