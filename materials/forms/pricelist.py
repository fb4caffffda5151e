"""Forms of the price list; a product's form is built from its kind's parameters."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from materials.core.kind import Kind, Parameter
from materials.forms.values import (
    DayInput,
    LengthInput,
    MoneyInput,
    WholeInput,
)
from materials.models import Supplier
from materials.presenters import core_words


class ProductForm(forms.Form):
    """A product: code, name, and the facts that its kind asks for."""

    code = forms.CharField(label=_("Code"), max_length=40)
    name = forms.CharField(label=_("Name"), max_length=160)

    def __init__(self, *args: Any, kind: Kind, fixed: bool = False, **options: Any):
        super().__init__(*args, **options)
        self.kind = kind
        if fixed:
            del self.fields["code"]
        for parameter in kind.parameters:
            self.fields[f"fact_{parameter.name}"] = fact_field(parameter)

    @property
    def facts(self) -> dict[str, object]:
        """The facts as typed, without those left empty."""
        return {
            parameter.name: self.cleaned_data[f"fact_{parameter.name}"]
            for parameter in self.kind.parameters
            if self.cleaned_data.get(f"fact_{parameter.name}") not in ("", None)
        }

    def fact_fields(self) -> list[forms.BoundField]:
        """Return the bound fields of the facts, in the kind's order."""
        return [self[f"fact_{parameter.name}"] for parameter in self.kind.parameters]


def typed_facts(facts: Mapping[str, object]) -> dict[str, object]:
    """Return stored facts as a form's first values."""
    return {f"fact_{name}": value for name, value in facts.items()}


def fact_field(parameter: Parameter) -> forms.Field:
    """Return the form field of one fact: what is typed is kept, the kind reads it."""
    label, required = core_words(parameter.label), parameter.required
    about: dict[str, Any] = {
        "label": label,
        "required": required and not parameter.default,
        "help_text": core_words(parameter.help),
        "initial": parameter.default,
    }
    if parameter.type == "length":
        return LengthInput(**about)
    if parameter.type == "choice":
        choices = [
            (choice, core_words(choice.replace("_", " ")))
            for choice in parameter.choices
        ]
        blank = [] if about["required"] else [("", "–")]
        return forms.ChoiceField(choices=[*blank, *choices], **about)
    if parameter.type == "yes_no":
        return forms.ChoiceField(
            choices=[("", "–"), ("yes", _("yes")), ("no", _("no"))], **about
        )
    field = forms.CharField(max_length=200, **about)
    field.unit = parameter.unit  # type: ignore[attr-defined]
    return field


class SupplierForm(forms.Form):
    """A merchant."""

    name = forms.CharField(label=_("Merchant"), max_length=120)


class PackForm(forms.Form):
    """A pack size with its first price."""

    supplier = forms.ModelChoiceField(
        Supplier.objects.order_by("name"), label=_("Merchant")
    )
    label = forms.CharField(
        label=_("Pack"), max_length=80, help_text=_("as written on it: bag 20 kg")
    )
    content = forms.CharField(
        label=_("Holds"),
        max_length=40,
        help_text=_("a number, or with its unit; of tile also the area: 1.44 m2"),
    )
    supplier_code = forms.CharField(
        label=_("Merchant's code"), max_length=60, required=False
    )
    lead_days = WholeInput(
        label=_("Days to wait"), min_value=0, max_value=1000, initial=0
    )
    special_order = forms.BooleanField(
        label=_("Made or brought to order"), required=False
    )
    returnable = forms.BooleanField(
        label=_("Can go back"), required=False, initial=True
    )
    amount = MoneyInput(label=_("Price before tax"), per_unit=True)
    valid_from = forms.DateField(label=_("From"), widget=DayInput())
    origin = forms.CharField(
        label=_("Where the price came from"), max_length=200, required=False
    )


class PriceForm(forms.Form):
    """A new price of a pack from a date on."""

    amount = MoneyInput(label=_("Price before tax"), per_unit=True)
    valid_from = forms.DateField(label=_("From"), widget=DayInput())
    valid_until = forms.DateField(
        label=_("Until"),
        required=False,
        widget=DayInput(),
    )
    least_packs = WholeInput(
        label=_("From so many packs"), min_value=1, max_value=100_000, initial=1
    )
    origin = forms.CharField(
        label=_("Where the price came from"), max_length=200, required=False
    )

    def clean_valid_from(self) -> date:
        """Refuse a date that is a slip of the thumb."""
        value: date = self.cleaned_data["valid_from"]
        if not 2000 <= value.year <= 2100:
            raise forms.ValidationError(_("That year is a slip; check the date."))
        return value
