"""The first-run page, and the owner's page of the business and its rates."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponseBase
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from materials import queries
from materials.core import amounts
from materials.core.errors import Refusal
from materials.core.quantities import decimal_text
from materials.models import Business
from materials.views.access import (
    OWNER,
    form_status,
    person_of,
    request_key,
    roles,
    show_refusal,
)
from materials.views.proof import ask_for_proof
from quotes.forms.business import RULES, BusinessForm
from quotes.models import Rates
from quotes.services.business import (
    BusinessEntry,
    RatesEntry,
    overhead_per_hour,
    set_up_business,
)

ON_BUSINESS = (
    "name", "trade_line", "address", "email", "phone", "currency", "system", "paper",
    "licence_line", "tax_name", "tax_number", "sales_tax", "sales_tax_on",
    "purchase_tax",
    "purchase_tax_recoverable", "bank_lines",
)  # fmt: skip
SHARES = ("materials_rate", "labour_rate", "other_rate", "contingency", "deposit")
ORDERING = ("order_certainty", "saved_of_eight", "broken_cut", "broken_whole")
PLAIN = ("method", "holds_days", "payment_days", "exclusions", "terms")


@roles(OWNER)
@require_http_methods(["GET", "HEAD", "POST"])
def business(request: HttpRequest) -> HttpResponseBase:
    """Set up the business, or change it."""
    row = queries.business()
    form = BusinessForm(
        request.POST or None, fixed=row is not None, initial=_first_values(row)
    )
    if request.method == "POST" and form.is_valid():
        entry = form.cleaned_data
        if _is_where_money_goes(row, entry) and (asked := ask_for_proof(request)):
            return asked
        try:
            set_up_business(
                entry=BusinessEntry(
                    country=entry["country"].upper(),
                    language="en-us" if entry["country"].upper() == "US" else "en-gb",
                    **{name: entry[name] for name in ON_BUSINESS},
                ),
                rates=_rates(entry),
                at=timezone.now(),
                person=person_of(request),
                key=request_key(request),
                is_demo=row.is_demo if row else False,
            )
        except Refusal as refusal:
            show_refusal(form, refusal)
        else:
            messages.success(request, _("Saved."))
            return redirect("today")
    context = {"form": form, "fresh": row is None}
    return render(request, "quotes/business.html", context, status=form_status(form))


def _is_where_money_goes(row: Business | None, entry: dict[str, Any]) -> bool:
    """Return whether bank details change, or the address clients answer to."""
    return row is not None and any(
        _told(getattr(row, name)) != _told(entry[name])
        for name in ("bank_lines", "email")
    )


def _told(text: str) -> list[str]:
    """Return the words of a text; browsers end lines in their own way."""
    return text.split()


def _rates(entry: dict[str, Any]) -> RatesEntry:
    code = entry["currency"]

    def price(value: Fraction | None) -> Any:
        return None if value is None else amounts.unit_price(value, code)

    least = entry["minimum_charge"]
    return RatesEntry(
        setter_wage=price(entry["setter_wage"]),
        helper_wage=price(entry["helper_wage"]),
        overhead_per_hour=overhead_per_hour(
            amounts.unit_price(entry["overhead_yearly"], code),
            entry["productive_hours"],
        ),
        overhead_yearly=price(entry["overhead_yearly"]),
        productive_hours=entry["productive_hours"],
        hours_per_day=entry["hours_per_day"],
        minimum_charge=None if least is None else amounts.money(least, code),
        **{name: entry[name] for name in (*SHARES, *PLAIN)},
        rules={
            name.removeprefix("rule_"): entry[name].strip()
            for name in RULES
            if entry[name].strip()
        },
        **{name: entry[name] for name in ORDERING if entry[name] is not None},
    )


def _first_values(row: Business | None) -> dict[str, Any]:
    if row is None:
        return {}
    values: dict[str, Any] = {
        name: getattr(row, name) for name in (*ON_BUSINESS, "country")
    }
    rates = Rates.objects.filter(pk=1).first()
    if rates is not None:
        hours, known = rates.productive_hours, rates.overhead_yearly
        yearly = (
            amounts.exact(rates.overhead_per_hour) * hours
            if known is None
            else amounts.exact(known)
        )
        values |= {name: getattr(rates, name) for name in (*SHARES, *ORDERING, *PLAIN)}
        values |= {f"rule_{name}": typed for name, typed in rates.rules.items()}
        values |= {
            "setter_wage": amounts.plain(rates.setter_wage),
            "helper_wage": amounts.plain(rates.helper_wage),
            "overhead_yearly": decimal_text(yearly, places=4),
            "productive_hours": decimal_text(hours, places=6),
            "hours_per_day": decimal_text(rates.hours_per_day, places=3),
            "minimum_charge": amounts.plain(rates.minimum_charge)
            if rates.minimum_charge
            else "",
        }
    return values
