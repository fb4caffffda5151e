"""The first-run page's form, and the owner's page of rates."""

from __future__ import annotations

import json
from typing import Any

from babel import Locale
from babel.numbers import get_territory_currencies
from django import forms
from django.conf import settings
from django.utils.translation import gettext_lazy as _

from materials.forms.values import LengthInput, NumberInput, ShareInput, WholeInput
from materials.models import Business
from quotes.models import Rates


class AmountInput(NumberInput):
    """An amount of whatever currency the form names; cleaned to a Fraction."""


def countries() -> list[tuple[str, str]]:
    """Return every country by its ISO 3166 code, in the order of its English name."""
    names = Locale("en").territories
    real = {
        code: name
        for code, name in names.items()
        if len(code) == 2 and code.isalpha() and code not in NOT_COUNTRIES
    }
    ordered = sorted(real.items(), key=lambda one: one[1])
    return [("", _("choose")), *ordered]


NOT_COUNTRIES = {"EU", "EZ", "UN", "QO", "XA", "XB", "ZZ"}
"""What the list of territories holds beside countries: unions, tests, nowhere."""


def usual_of(country: str) -> dict[str, str | bool]:
    """Return what is usual in a country; each can be changed before it is saved."""
    codes = [code for code in get_territory_currencies(country) if code in CURRENCIES]
    return {
        "currency": codes[-1] if codes else "EUR",
        "system": "imperial" if country in IN_FEET else "metric",
        "paper": "letter" if country in ON_LETTER else "a4",
        "tax_name": TAX_NAMES.get(country, "VAT"),
        "purchase_tax_recoverable": country != "US",
    }


CURRENCIES = tuple(settings.CURRENCIES)
IN_FEET = {"US", "LR"}
ON_LETTER = {"US", "CA", "MX", "PH", "CL", "CO", "CR", "GT", "PA", "PR", "VE"}
TAX_NAMES = {"US": "Sales tax", "CA": "GST", "AU": "GST", "NZ": "GST", "IN": "GST"}


RULES = (
    "rule_of", "rule_source", "rule_most_offset", "rule_least_joint", "rule_inside",
    "rule_outside", "rule_niche_reach",
)  # fmt: skip
"""Each is a field of the visit file's rules, with “rule_” before it."""


class BusinessForm(forms.Form):
    """Ten minutes: the business, its tax, its hour."""

    name = forms.CharField(label=_("Name of the business"), max_length=120)
    trade_line = forms.CharField(
        label=_("Line under the name"),
        max_length=120,
        required=False,
        help_text=_("Tile setters, and where"),
    )
    address = forms.CharField(
        label=_("Address"), required=False, widget=forms.Textarea(attrs={"rows": 3})
    )
    email = forms.EmailField(label=_("E-mail"), required=False)
    phone = forms.CharField(label=_("Telephone"), max_length=40, required=False)
    country = forms.ChoiceField(
        label=_("Country"),
        choices=countries,
        help_text=_("decides the words of pages and papers"),
    )
    currency = forms.ChoiceField(
        label=_("Currency"), choices=[(code, code) for code in settings.CURRENCIES]
    )
    system = forms.ChoiceField(
        label=_("Measuring"),
        choices=Business.System.choices,
        help_text=_("what a bare number means; every field takes both"),
    )
    paper = forms.ChoiceField(
        label=_("Paper"), choices=[("a4", "A4"), ("letter", "US Letter")]
    )
    licence_line = forms.CharField(
        label=_("Licence line"), max_length=120, required=False
    )
    tax_name = forms.CharField(
        label=_("What tax is called"), max_length=20, initial="VAT"
    )
    tax_number = forms.CharField(label=_("Tax number"), max_length=40, required=False)
    sales_tax = ShareInput(label=_("Tax on sales"), initial="0")
    sales_tax_on = forms.ChoiceField(
        label=_("It is added to"),
        choices=Business.TaxedSales.choices,
        initial=Business.TaxedSales.EVERYTHING,
        help_text=_("some places tax goods and not work: ask your accountant"),
    )
    purchase_tax = ShareInput(label=_("Tax paid on purchases"), initial="0")
    purchase_tax_recoverable = forms.BooleanField(
        label=_("Tax on purchases is claimed back"), required=False, initial=True
    )
    bank_lines = forms.CharField(
        label=_("How to pay you"),
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text=_("printed on invoices"),
    )
    setter_wage = AmountInput(
        label=_("A setter's hour costs"), help_text=_("wage with all on-costs")
    )
    helper_wage = AmountInput(label=_("A helper's hour costs"))
    overhead_yearly = AmountInput(
        label=_("Overhead in a year"),
        help_text=_("van, tools, insurance, telephone, office"),
    )
    productive_hours = NumberInput(
        label=_("Hours a year that clients pay for"), least=1, most=8784, initial="1400"
    )
    hours_per_day = NumberInput(
        label=_("Hours in a day"), least=1, most=24, initial="8"
    )
    method = forms.ChoiceField(
        label=_("Price by"),
        choices=Rates.Method.choices,
        help_text=_("25 % markup on cost is 20 % margin of price"),
    )
    materials_rate = ShareInput(label=_("On materials"), most=1000, initial="20")
    labour_rate = ShareInput(label=_("On labour"), most=1000, initial="20")
    other_rate = ShareInput(label=_("On everything else"), most=1000, initial="10")
    contingency = ShareInput(label=_("Contingency"), initial="5")
    order_certainty = ShareInput(
        label=_("Tile ordered is enough in"),
        least=50,
        most=99,
        initial="95",
        required=False,
        help_text=_("of jobs; the rest would need another box of the same lot"),
    )
    saved_of_eight = WholeInput(
        label=_("Of eight tiles that offcuts can save, saved"),
        min_value=1,
        max_value=7,
        initial=6,
        required=False,
        help_text=_("6 is an assumption, until your own jobs say otherwise"),
    )
    broken_cut = ShareInput(
        label=_("Cut tiles that break"),
        initial="3",
        required=False,
        help_text=_("an assumption too; a tile's own breakage stands before it"),
    )
    broken_whole = ShareInput(
        label=_("Whole tiles that break"), initial="0.5", required=False
    )
    rule_of = forms.ChoiceField(
        label=_("Rules for joints"),
        required=False,
        choices=[
            ("", _("as usual in the country")),
            ("us", _("United States: ANSI A108.02, TCNA EJ171")),
            ("uk", _("United Kingdom: BS 5385-3 for movement joints")),
            ("eu", _("Central Europe: DIN 18352, DIN 18157")),
        ],
        help_text=_("quotes and set-outs are checked against them"),
    )
    rule_source = forms.CharField(
        label=_("Your own figures come from"),
        max_length=120,
        required=False,
        help_text=_("whose rule it is; below only what differs"),
    )
    rule_most_offset = forms.CharField(
        label=_("Long tile is offset by at most"),
        max_length=20,
        required=False,
        help_text=_("a share of its length, such as 1/2"),
    )
    rule_least_joint = LengthInput(label=_("Narrowest joint"), required=False)
    rule_inside = LengthInput(label=_("Movement joints inside, every"), required=False)
    rule_outside = LengthInput(
        label=_("Outdoors and on heated floors, every"), required=False
    )
    rule_niche_reach = LengthInput(
        label=_("A niche may move before framing by"),
        required=False,
        help_text=_("40 mm (1 9/16 in) where left empty; 0 asks for nothing"),
    )
    minimum_charge = AmountInput(label=_("Least charge for a visit"), required=False)
    deposit = ShareInput(label=_("Deposit"), initial="25")
    holds_days = WholeInput(
        label=_("Days an offer holds"), min_value=1, max_value=730, initial=30
    )
    payment_days = WholeInput(
        label=_("Days to pay"), min_value=0, max_value=365, initial=14
    )
    exclusions = forms.CharField(
        label=_("Not included, on every quote"),
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
    )
    terms = forms.CharField(
        label=_("Terms"), required=False, widget=forms.Textarea(attrs={"rows": 4})
    )

    groups = (
        (_("The business"), ("name", "trade_line", "address", "email", "phone",
                             "country", "currency", "system", "paper", "licence_line")),
        (_("Tax and payment"), ("tax_name", "tax_number", "sales_tax", "sales_tax_on",
                                "purchase_tax",
                                "purchase_tax_recoverable", "bank_lines")),
        (_("An hour"), ("setter_wage", "helper_wage", "overhead_yearly",
                        "productive_hours", "hours_per_day")),
        (_("Ordering tile"), ("order_certainty", "saved_of_eight", "broken_cut",
                              "broken_whole")),
        (_("Rules for joints and niches"), RULES),
        (_("The price"), ("method", "materials_rate", "labour_rate", "other_rate",
                          "contingency", "minimum_charge", "deposit", "holds_days",
                          "payment_days", "exclusions", "terms")),
    )  # fmt: skip

    def __init__(self, *args: Any, fixed: bool = False, **options: Any) -> None:
        super().__init__(*args, **options)
        if not fixed:
            usual = {code: usual_of(code) for code, _name in countries() if code}
            self.fields["country"].widget.attrs["data-usual"] = json.dumps(usual)
        if fixed:
            # Once there are prices, another currency or system would misread them.
            for name in ("currency", "system"):
                self.fields[name].disabled = True

    def grouped(self) -> list[tuple[str, list[forms.BoundField]]]:
        """Return the fields under their headings."""
        return [
            (str(title), [self[name] for name in names]) for title, names in self.groups
        ]
