"""Forms of what the work took: purchases, returns, use, offcuts, hours."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _t
from django.utils.translation import gettext_lazy as _

from jobs.models import BudgetLine, HoursLine, Job, PurchaseLine, Usage
from jobs.presenters.words import system_of
from jobs.services import (
    HoursEntry,
    PurchaseEntry,
    PurchaseLineEntry,
    UseEntry,
)
from materials.core.packaging import from_own_unit, own_unit
from materials.forms.values import MoneyInput, NumberInput, ShareInput
from materials.models import Person, StoredFile, Supplier
from materials.presenters import core_words

SPEND_CLASSES = (
    ("materials", _("materials")),
    ("hire", _("hire")),
    ("disposal", _("disposal")),
    ("subcontract", _("work by others")),
    ("travel", _("travel")),
)
LINES_SHOWN = 4
MOST_PACKS = 100_000


def day_field(label: Any, **options: Any) -> forms.DateField:
    """Return a date as the device asks for it."""
    widget = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    return forms.DateField(label=label, widget=widget, **options)


class PackCount(NumberInput):
    """A whole number of packs, at least one; other scripts' digits are refused."""

    def clean(self, value: Any) -> Any:
        """Return the count as an int."""
        number = super().clean(value)
        if number is None:
            return None
        if number.denominator != 1 or not 1 <= number <= MOST_PACKS:
            raise ValidationError(
                _t("%(number)s is no count of packs; enter 1 to %(most)s.")
                % {"number": value, "most": MOST_PACKS}
            )
        return int(number)


def is_first(form: forms.BaseForm) -> bool:
    """Whether a line's form is the first of its page, which must be filled in."""
    return form.prefix == "line1"


class LineChoice(forms.ModelChoiceField):  # type: ignore[type-arg]
    """A choice of budget lines by their words."""

    def label_from_instance(self, obj: Any) -> str:
        """Return what a budget line says."""
        return core_words(str(obj.text))


def lines_of(job: Job, *classes: str) -> Any:
    """Return the budget lines of a job in some classes of cost."""
    return job.budget_lines.filter(cost_class__in=classes)


class PurchaseForm(forms.Form):
    """A receipt or an order: where, when, what tax, its photo.

    A browser forgets a chosen file when the form comes back, so the photo is stored
    at once and `kept` remembers which it was.
    """

    supplier = forms.ModelChoiceField(
        Supplier.objects.all(), label=_("Merchant"), required=False
    )
    bought_on = day_field(_("Bought or ordered on"))
    here = forms.BooleanField(
        label=_("The goods are here"), required=False, initial=True
    )
    tax_rate = ShareInput(label=_("Tax on the receipt"), required=False)
    tax_recoverable = forms.BooleanField(
        label=_("This tax comes back to us"), required=False
    )
    reference = forms.CharField(
        label=_("Receipt number"), max_length=60, required=False
    )
    photo = forms.FileField(
        label=_("Photo or PDF of the receipt"),
        required=False,
        widget=forms.ClearableFileInput(
            attrs={"accept": "image/*,application/pdf", "capture": "environment"}
        ),
    )

    kept = forms.CharField(required=False, max_length=64, widget=forms.HiddenInput)

    def clean_tax_rate(self) -> Fraction:
        """Return the rate; empty is none, and more than the price is a slip."""
        rate = self.cleaned_data["tax_rate"] or Fraction(0)
        if rate >= 1:
            raise ValidationError(_t("A tax of 100 % and more is a slip; enter 20."))
        return Fraction(rate)

    def entry(
        self, lines: tuple[PurchaseLineEntry, ...], photo: StoredFile | None
    ) -> PurchaseEntry:
        """Return the purchase as entered."""
        data = self.cleaned_data
        return PurchaseEntry(
            supplier=data["supplier"],
            bought_on=data["bought_on"],
            received_on=data["bought_on"] if data["here"] else None,
            tax_rate=data["tax_rate"],
            tax_recoverable=data["tax_recoverable"],
            reference=data["reference"],
            photo=photo,
            lines=lines,
        )


class PurchaseLineForm(forms.Form):
    """One line of a receipt."""

    budget_line = LineChoice(
        BudgetLine.objects.none(), label=_("For"), required=False,
        empty_label=_("not in the budget"),
    )  # fmt: skip
    text = forms.CharField(
        label=_("What, if not in the budget"), max_length=200, required=False
    )
    cost_class = forms.ChoiceField(
        label=_("Belongs to"), choices=SPEND_CLASSES, required=False
    )
    packs = PackCount(label=_("Packs"), required=False)
    price_each = MoneyInput(
        label=_("Paid for one, before tax"), per_unit=True, required=False
    )
    holds = NumberInput(
        label=_("One pack holds"),
        required=False,
        help_text=_("left empty, as quoted"),
    )
    lot = forms.CharField(label=_("Lot"), max_length=60, required=False)
    shade = forms.CharField(label=_("Shade"), max_length=40, required=False)
    calibre = forms.CharField(label=_("Calibre"), max_length=40, required=False)

    def __init__(self, *args: Any, job: Job, **options: Any) -> None:
        super().__init__(*args, **options)
        names = [name for name, _word in SPEND_CLASSES]
        self.fields["budget_line"].queryset = lines_of(job, *names)  # type: ignore[attr-defined]
        for name in ("packs", "price_each"):
            self.fields[name].required = is_first(self)

    @property
    def first_fields(self) -> list[forms.BoundField]:
        """The fields nearly every receipt needs."""
        return [self[name] for name in ("budget_line", "packs", "price_each")]

    @property
    def other_fields(self) -> list[forms.BoundField]:
        """The fields that are folded away until they are wanted."""
        first = {bound.name for bound in self.first_fields}
        return [bound for bound in self if bound.name not in first]

    @property
    def is_open(self) -> bool:
        """Whether the folded fields have something to show."""
        return any(bound.errors or bound.value() for bound in self.other_fields
                   if bound.name != "cost_class")  # fmt: skip

    @property
    def is_shown(self) -> bool:
        """Whether the line stands open: the first, and every one begun."""
        return (
            is_first(self)
            or any(bound.errors or bound.value() for bound in self.first_fields)
            or self.is_open
        )

    def clean(self) -> dict[str, Any]:
        """Ask for packs and price where a line was begun."""
        data = super().clean() or {}
        if self.is_begun():
            for name in ("packs", "price_each"):
                if data.get(name) is None and name not in self.errors:
                    self.add_error(name, _t("Enter it, or empty this line."))
        return data

    def is_begun(self) -> bool:
        """Whether anything of the line was entered."""
        names = ("budget_line", "text", "packs", "price_each")
        return any(self.cleaned_data.get(name) for name in names)

    def entry(self) -> PurchaseLineEntry:
        """Return the line as entered."""
        data = self.cleaned_data
        return PurchaseLineEntry(
            budget_line=data["budget_line"],
            packs=data["packs"],
            price_each=data["price_each"],
            text=data["text"],
            cost_class=data["cost_class"] or "materials",
            holds=data["holds"],
            lot=data["lot"],
            shade=data["shade"],
            calibre=data["calibre"],
        )


class ReturnForm(forms.Form):
    """Packs taken back."""

    line = forms.ModelChoiceField(PurchaseLine.objects.none(), label=_("What"))
    packs = PackCount(label=_("Packs"))
    credit = MoneyInput(label=_("Credit given"))
    on = day_field(_("On"))

    def __init__(self, *args: Any, job: Job, **options: Any) -> None:
        super().__init__(*args, **options)
        self.fields["line"].queryset = PurchaseLine.objects.filter(  # type: ignore[attr-defined]
            purchase__job=job
        ).order_by("-purchase__bought_on", "pk")


class UseForm(forms.Form):
    """A quantity used, broken or left over."""

    line = LineChoice(BudgetLine.objects.none(), label=_("What"))
    how = forms.ChoiceField(label=_("What became of it"), choices=Usage.How.choices)
    quantity = NumberInput(label=_("How much"))
    on = day_field(_("On"))
    note = forms.CharField(label=_("Note"), max_length=200, required=False)

    def __init__(self, *args: Any, job: Job, **options: Any) -> None:
        super().__init__(*args, **options)
        self.system = system_of(job)
        choice = self.fields["line"]
        choice.queryset = lines_of(job, "materials")  # type: ignore[attr-defined]
        choice.label_from_instance = lambda row: (  # type: ignore[attr-defined]
            core_words(row.text)
            + (f" ({own_unit(row.unit, self.system)})" if row.unit else "")
        )

    def entry(self) -> UseEntry:
        """Return the use as entered, in the unit its line is counted in."""
        data = self.cleaned_data
        unit = data["line"].unit
        return UseEntry(
            how=data["how"],
            quantity=from_own_unit(data["quantity"], unit, self.system),
            on=data["on"],
            note=data["note"],
        )


class DayForm(forms.Form):
    """Whose day it was."""

    worker = forms.ModelChoiceField(Person.objects.none(), label=_("Who"))
    on = day_field(_("On"))

    def __init__(self, *args: Any, person: Person, **options: Any) -> None:
        super().__init__(*args, **options)
        people = Person.objects.filter(is_active=True)
        if person.role != Person.Role.OWNER:
            people = people.filter(pk=person.pk)
        self.fields["worker"].queryset = people  # type: ignore[attr-defined]
        self.fields["worker"].initial = person.pk

    def day(self) -> date:
        """Return the day worked."""
        found: date = self.cleaned_data["on"]
        return found


class HoursForm(forms.Form):
    """Hours on one operation."""

    budget_line = LineChoice(
        BudgetLine.objects.none(), label=_("Work"), required=False,
        empty_label=_("other work"),
    )  # fmt: skip
    text = forms.CharField(label=_("Other work, in words"), max_length=200,
                           required=False)  # fmt: skip
    role = forms.ChoiceField(
        label=_("As"), choices=HoursLine.Role.choices, required=False
    )
    hours = NumberInput(label=_("Hours"), unit="h", required=False)

    def __init__(self, *args: Any, job: Job, **options: Any) -> None:
        super().__init__(*args, **options)
        self.fields["budget_line"].queryset = lines_of(job, "labour")  # type: ignore[attr-defined]
        self.fields["hours"].required = is_first(self)

    @property
    def first_fields(self) -> list[forms.BoundField]:
        """All of its fields: none is folded away."""
        return list(self)

    @property
    def is_shown(self) -> bool:
        """Whether the line stands open: the first, and every one begun."""
        return is_first(self) or any(
            bound.errors or (bound.value() and bound.name != "role") for bound in self
        )

    def is_begun(self) -> bool:
        """Whether anything of the line was entered."""
        names = ("budget_line", "text", "hours")
        return any(self.cleaned_data.get(name) for name in names)

    def clean(self) -> dict[str, Any]:
        """Ask for the hours where a line was begun."""
        data = super().clean() or {}
        if self.is_begun() and not data.get("hours") and "hours" not in self.errors:
            self.add_error("hours", _t("Enter the hours, or empty this line."))
        return data

    def entry(self) -> HoursEntry:
        """Return the hours as entered."""
        data = self.cleaned_data
        return HoursEntry(
            budget_line=data["budget_line"],
            hours=data["hours"],
            text=data["text"],
            role=data["role"] or HoursLine.Role.SETTER,
        )


def line_forms(
    kind: type[PurchaseLineForm] | type[HoursForm], *, job: Job, data: Any
) -> list[Any]:
    """Return the forms of a receipt's or day's lines, told apart by their prefix."""
    return [
        kind(data, prefix=f"line{place}", job=job)
        for place in range(1, LINES_SHOWN + 1)
    ]
