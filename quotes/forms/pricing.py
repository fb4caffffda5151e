"""Forms of the price: hand-typed lines, sums set aside, overrules, terms."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from materials.forms.values import MoneyInput, NumberInput, ShareInput, WholeInput
from materials.presenters import core_words
from quotes.core.labour import BY_KEY, OPERATIONS
from quotes.models import Allowance, Overrule, Visit
from quotes.presenters.units import basis_unit, from_typed

HAND_CLASSES = (
    ("labour", _("labour")),
    ("materials", _("materials")),
    ("hire", _("hire")),
    ("disposal", _("disposal")),
    ("subcontract", _("work by others")),
    ("travel", _("travel")),
    ("other", _("other")),
)


class HandLineForm(forms.Form):
    """A line typed by hand."""

    text = forms.CharField(label=_("What"), max_length=200)
    quantity = NumberInput(label=_("How many"), initial="1")
    unit = forms.CharField(label=_("Unit"), max_length=20, required=False)
    unit_cost = MoneyInput(label=_("Cost of one"), per_unit=True, required=False)
    unit_price = MoneyInput(label=_("Price of one, before tax"), per_unit=True)
    cost_class = forms.ChoiceField(label=_("Belongs to"), choices=HAND_CLASSES)


class AllowanceForm(forms.Form):
    """A sum set aside."""

    nature = forms.ChoiceField(
        label=_("Set aside for"),
        choices=(
            (Allowance.Nature.ALLOWANCE, _("goods still to be chosen (allowance)")),
            (
                Allowance.Nature.PROVISIONAL,
                _("work not yet definable (provisional sum)"),
            ),
        ),
    )
    text = forms.CharField(label=_("What for"), max_length=200)
    amount = MoneyInput(label=_("Sum before tax"))


class OverruleForm(forms.Form):
    """The owner's figure in place of a computed one."""

    line = forms.CharField(widget=forms.HiddenInput, max_length=120)
    what = forms.ChoiceField(label=_("Which figure"), choices=Overrule.What.choices)
    value = forms.CharField(label=_("Yours"), max_length=40)
    reason = forms.CharField(label=_("Why"), max_length=200)


class LabourForm(forms.Form):
    """An operation added by hand: what, how much of it."""

    operation = forms.ChoiceField(label=_("Operation"))
    quantity = NumberInput(
        label=_("How much"), help_text=_("in the unit beside the operation")
    )
    note = forms.CharField(label=_("Note"), max_length=200, required=False)

    def __init__(self, *args: Any, system: str, **options: Any) -> None:
        super().__init__(*args, **options)
        self.system = system
        self.fields["operation"].choices = [  # type: ignore[attr-defined]
            (one.key, f"{core_words(one.label)} ({basis_unit(one.basis, system)})")
            for one in OPERATIONS
        ]

    def clean(self) -> dict[str, Any]:
        """Turn what was typed into the core's unit."""
        cleaned = super().clean() or self.cleaned_data
        if cleaned.get("operation") and cleaned.get("quantity") is not None:
            basis = BY_KEY[cleaned["operation"]].basis
            cleaned["quantity"] = from_typed(cleaned["quantity"], basis, self.system)
        return cleaned


class TermsForm(forms.Form):
    """What the offer says beside its figures."""

    scope = forms.CharField(
        label=_("The work in plain words"),
        required=False,
        max_length=4000,
        widget=forms.Textarea(attrs={"rows": 5}),
        help_text=_("left empty, the parts of the work and the places are listed"),
    )
    exclusions = forms.CharField(
        label=_("Not included"),
        required=False,
        max_length=4000,
        widget=forms.Textarea(attrs={"rows": 4}),
        help_text=_("one a line"),
    )
    text = forms.CharField(
        label=_("Terms"),
        required=False,
        max_length=4000,
        widget=forms.Textarea(attrs={"rows": 4}),
    )
    deposit = ShareInput(label=_("Deposit"), required=False)
    holds_days = WholeInput(
        label=_("Days the offer holds"), min_value=1, max_value=730, required=False
    )
    payment_days = WholeInput(
        label=_("Days to pay"), min_value=0, max_value=365, required=False
    )

    def terms(self) -> dict[str, Any]:
        """Return the terms as the visit file writes them, without the empty ones."""
        entry = self.cleaned_data
        found: dict[str, Any] = {
            name: entry[name]
            for name in ("scope", "text", "holds_days", "payment_days")
            if entry.get(name) not in ("", None)
        }
        lines = [line.strip() for line in entry["exclusions"].splitlines()]
        if any(lines):
            found["exclusions"] = [line for line in lines if line]
        if entry.get("deposit") is not None:
            found["deposit"] = str(entry["deposit"])
        return found


def terms_values(visit: Visit) -> dict[str, Any]:
    """Return a visit's own terms as the form's first values."""
    terms = dict(visit.facts.get("terms", {}))
    terms["exclusions"] = "\n".join(terms.get("exclusions", []))
    return terms
