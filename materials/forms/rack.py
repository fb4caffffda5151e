"""Forms of the rack: a piece by hand, a piece written off, the rules."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _
from moneyed import Money

from materials import queries
from materials.core import amounts
from materials.core.lengths import NOTHING, Length
from materials.forms.values import LengthInput, MoneyInput, ShareInput, WholeInput
from materials.models import Business, Material, Person
from materials.services.rack import RackEntry

WIDTH_LEFT = _("trims and bands have none; empty for a roll: as wide as it is sold")
KEPT_KINDS = ("backer_board", "foam_pan", "membrane", "profile", "tile")
"""Kinds whose pieces have a size and are worth keeping."""


class PieceForm(forms.Form):
    """A piece put on the rack by hand."""

    material = forms.ModelChoiceField(Material.objects.none(), label=_("What it is"))
    height = LengthInput(label=_("Length"))
    width = LengthInput(label=_("Width"), required=False, help_text=WIDTH_LEFT)
    notch_width = LengthInput(
        label=_("Cut out of a corner: width"), required=False,
        help_text=_("only where the piece is an L"),
    )  # fmt: skip
    notch_height = LengthInput(label=_("Cut out of a corner: height"), required=False)
    thickness = LengthInput(
        label=_("Thickness"), required=False, help_text=_("empty: as its sheet says")
    )
    value = MoneyInput(label=_("Cost it carries"), help_text=_("0 for nothing"))
    origin = forms.CharField(
        label=_("Where it comes from"), max_length=200, required=False
    )
    lot = forms.CharField(label=_("Lot"), max_length=60, required=False)
    place = forms.CharField(label=_("Where it lies"), max_length=80, required=False)

    def __init__(self, *args: Any, person: Person, **options: Any) -> None:
        super().__init__(*args, **options)
        self.fields["material"].queryset = Material.objects.filter(  # type: ignore[attr-defined]
            in_use=True, kind__in=KEPT_KINDS
        ).order_by("kind", "name")
        if not person.sees_prices:
            del self.fields["value"]

    def clean(self) -> dict[str, Any]:
        """Ask for both sizes of what is cut out, or neither."""
        data = super().clean() or {}
        if bool(data.get("notch_width")) != bool(data.get("notch_height")):
            self.add_error(
                "notch_height", _("Give both sizes of what is cut out, or neither.")
            )
        return data

    def entry(self) -> RackEntry:
        """Return the piece as entered; without a value it carries nothing."""
        data = self.cleaned_data
        business = queries.business()
        system = business.system if business else "imperial"
        code = business.currency if business else "USD"

        def length(name: str) -> Length:
            return Length.parse(data[name], system=system)

        nothing: Money = amounts.zero(code)
        return RackEntry(
            material=data["material"],
            width=length("width") if data["width"] else NOTHING,
            height=length("height"),
            notch=(length("notch_width"), length("notch_height"))
            if data["notch_width"]
            else None,
            thickness=length("thickness") if data["thickness"] else None,
            value=data.get("value") or nothing,
            origin=data["origin"],
            lot=data["lot"],
            place=data["place"],
        )


class RulesForm(forms.Form):
    """Whether plans use pieces up, at what value, and how long they are kept."""

    use = forms.ChoiceField(
        label=_("Cut plans of new visits"), choices=Business.RackUse.choices
    )
    value = ShareInput(
        label=_("A piece used up counts, of the price of its size, %"),
        help_text=_("0 uses pieces up first; 100 treats them like new stock"),
    )
    stale_days = WholeInput(
        label=_("Kept too long after, days"), min_value=1, max_value=3650
    )
