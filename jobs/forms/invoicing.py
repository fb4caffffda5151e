"""Forms of money: drafts, payments, credit notes, variations."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _
from moneyed import Money

from jobs.core.invoicing import TaxKey, negative
from jobs.forms.actuals import day_field
from jobs.models import Payment
from jobs.services import DraftEntry, PaymentEntry, VariationEntry
from materials.core import amounts
from materials.forms.values import MoneyInput, ShareInput
from quotes.forms.pricing import HAND_CLASSES


class ShareForm(forms.Form):
    """A deposit or a stage: how much of the sum, and its words."""

    share = ShareInput(label=_("Share of the agreed sum"))
    title = forms.CharField(
        label=_("In words"), max_length=200, required=False,
        help_text=_("as the client will read it"),
    )  # fmt: skip

    def entry(self, kind: str) -> DraftEntry:
        """Return what to ask for."""
        return DraftEntry(
            kind=kind,
            share=self.cleaned_data["share"],
            title=self.cleaned_data["title"],
        )


CAME_IN = frozenset(set(Payment.Way.values) - {Payment.Way.REFUND})
"""Every way money comes in by; only a refund goes out."""


class PaymentForm(forms.Form):
    """Money that came in, or went back."""

    amount = MoneyInput(label=_("Amount"))
    on = day_field(_("On"))
    way = forms.ChoiceField(label=_("How"), choices=Payment.Way.choices)
    reference = forms.CharField(label=_("Reference"), max_length=80, required=False)
    keep_more = forms.BooleanField(
        label=_("It is more than is open: keep the rest as the client's credit"),
        required=False,
        widget=forms.HiddenInput,
    )

    def __init__(self, *args: Any, left: Money | None = None, **options: Any) -> None:
        super().__init__(*args, **options)
        self.left = left

    def clean(self) -> dict[str, Any]:
        """Ask before more is taken in than is open: it is mostly a slip."""
        cleaned = super().clean() or self.cleaned_data
        amount, came_in = cleaned.get("amount"), cleaned.get("way") in CAME_IN
        if self.left is None or amount is None or not came_in:
            return cleaned
        if amount.amount > self.left.amount and not cleaned.get("keep_more"):
            self.fields["keep_more"].widget = forms.CheckboxInput()
            self.add_error(
                "amount",
                _("%(left)s is open; check the amount, or tick the box below.")
                % {"left": amounts.plain(self.left)},
            )
        return cleaned

    def entry(self) -> PaymentEntry:
        """Return the payment as entered."""
        data = self.cleaned_data
        return PaymentEntry(
            amount=data["amount"],
            on=data["on"],
            way=data["way"],
            reference=data["reference"],
        )


class CreditForm(forms.Form):
    """What is credited, and why; every amount left empty credits all that is left."""

    reason = forms.CharField(label=_("Why"), max_length=200)

    def __init__(
        self, *args: Any, rows: Sequence[tuple[str, str, Money]], **options: Any
    ) -> None:
        super().__init__(*args, **options)
        self.keys = {f"line{place}": row[0] for place, row in enumerate(rows)}
        for place, (_key, text, left) in enumerate(rows):
            self.fields[f"line{place}"] = MoneyInput(
                label=text, required=False, help_text=f"{left.amount}"
            )

    def wanted(self) -> Mapping[str, Money] | None:
        """Return the amount to credit by line; None for all that is left."""
        found = {
            key: self.cleaned_data[name]
            for name, key in self.keys.items()
            if self.cleaned_data.get(name) is not None
        }
        return found or None


class VariationForm(forms.Form):
    """A change after acceptance."""

    text = forms.CharField(label=_("What is done differently"), max_length=200)
    way = forms.ChoiceField(
        label=_("The agreed sum"),
        choices=(("more", _("becomes more")), ("less", _("becomes less"))),
    )
    net = MoneyInput(label=_("By so much, before tax"))
    cost = MoneyInput(label=_("And our cost by so much"))
    cost_class = forms.ChoiceField(label=_("Belongs to"), choices=HAND_CLASSES[:-1])
    tax = forms.ChoiceField(label=_("Tax"))

    def __init__(self, *args: Any, taxes: Sequence[TaxKey], **options: Any) -> None:
        super().__init__(*args, **options)
        self.taxes = {f"{tax.category} {tax.percent}": tax for tax in taxes}
        self.fields["tax"].choices = [  # type: ignore[attr-defined]
            (name, _("%(share)s\u00a0%%") % {"share": tax.percent})
            for name, tax in self.taxes.items()
        ]

    def entry(self) -> VariationEntry:
        """Return the change as entered."""
        data = self.cleaned_data
        less = data["way"] == "less"
        return VariationEntry(
            text=data["text"],
            net=negative(data["net"]) if less else data["net"],
            cost=negative(data["cost"]) if less else data["cost"],
            cost_class=data["cost_class"],
            tax=self.taxes[data["tax"]],
        )


class AgreeForm(forms.Form):
    """Who agreed to a change."""

    agreed_by = forms.CharField(label=_("Client's name"), max_length=160)
