"""The page of the business: what was entered comes back as it was entered."""

from __future__ import annotations

import re
from fractions import Fraction

import pytest

from materials.core import amounts
from materials.core.lengths import Length
from quotes.core.joint_rules import PUBLISHED
from quotes.forms.business import countries, usual_of
from quotes.models import Rates
from quotes.queries.estimating import stored_rates, visit_record
from tests.service.office import a_space, ada, faults, send, signed_in, text_of

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
        if name
        not in ("country", "currency", "system", "paper", "method", "sales_tax_on")
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


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"country": "ZZ"}, "valid choice"),
        ({"sales_tax": "725"}, "100 is the most"),
        ({"deposit": "150"}, "100 is the most"),
        ({"hours_per_day": "80"}, "24 is the most"),
        ({"setter_wage": "£27"}, "Write it without sign or comma: 27."),
        ({"overhead_yearly": "24,000.50"}, "without sign or comma: 24000.50."),
    ],
    ids=str,
)
def test_what_no_business_has_is_refused_with_advice(
    change: dict[str, str], sentence: str
) -> None:
    browser = signed_in(ada())

    response = send(browser, "business", expect=422, **{**ENTRY, **change})

    page = response.content.decode()
    assert sentence in page
    assert 'value="Fennick and Osei"' in page
    assert not Rates.objects.exists()


def test_a_country_brings_what_is_usual_there() -> None:
    assert usual_of("US") == {
        "currency": "USD", "system": "imperial", "paper": "letter",
        "tax_name": "Sales tax", "purchase_tax_recoverable": False,
    }  # fmt: skip
    assert usual_of("GB") == {
        "currency": "GBP", "system": "metric", "paper": "a4", "tax_name": "VAT",
        "purchase_tax_recoverable": True,
    }  # fmt: skip
    assert usual_of("NZ")["tax_name"] == "GST"
    assert {"GB", "US", "DE"} <= {code for code, _name in countries()}


def test_how_sure_tile_is_ordered_is_asked_kept_and_followed() -> None:
    browser = signed_in(ada())
    send(browser, "business", **ENTRY)
    usual = Rates.objects.get(pk=1)

    send(
        browser, "business", **ENTRY, order_certainty="75", saved_of_eight="7",
        broken_cut="0", broken_whole="1/4",
    )  # fmt: skip

    assert (usual.order_certainty, usual.saved_of_eight) == (Fraction(95, 100), 6)
    row = Rates.objects.get(pk=1)
    assert (row.order_certainty, row.saved_of_eight) == (Fraction(3, 4), 7)
    assert (row.broken_cut, row.broken_whole) == (0, Fraction(1, 400))
    page = text_of(browser, "business")
    assert shown(page, "order_certainty") == "75"


def test_a_certainty_nobody_can_promise_is_refused_beside_its_field() -> None:
    send(signed_in(ada()), "business", **ENTRY, order_certainty="100", expect=422)

    assert not Rates.objects.exists()


def test_rules_for_joints_follow_the_country_until_the_business_says_otherwise() -> (
    None
):
    browser = signed_in(ada())
    send(browser, "business", **ENTRY)
    visit = a_space().visit
    assert visit_record(visit).rules == PUBLISHED["uk"]

    send(
        browser, "business", **ENTRY, rule_of="eu", rule_source="Our handbook",
        rule_inside="6 m", rule_niche_reach="25",
    )  # fmt: skip

    rules = visit_record(visit).rules
    assert (rules.of, rules.movement_source.title) == ("eu", "Our handbook")
    assert rules.niche_reach == Length.mm(25)
    page = text_of(browser, "business")
    assert shown(page, "rule_inside") == "6 m"


def test_own_figures_without_a_name_are_refused_beside_the_name() -> None:
    answer = send(signed_in(ada()), "business", expect=422, **ENTRY, rule_inside="6 m")

    assert any("whose rule" in fault for fault in faults(answer))
