"""Forms of a visit: what it is about, its spaces, its surfaces."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from materials.forms.values import DayInput, LengthInput, WholeInput
from materials.models import Business
from quotes.models import Client, Visit
from quotes.models.visits import Exposure, MeasuredTo, Use
from quotes.presenters.words import ROLES, SHAPES


class VisitForm(forms.Form):
    """Whose visit, where, when, and what stands in the way."""

    client = forms.ModelChoiceField(
        Client.objects.order_by("name", "pk"),
        label=_("Client known already"),
        required=False,
        empty_label=_("somebody new"),
    )
    client_name = forms.CharField(label=_("Client"), max_length=160, required=False)
    title = forms.CharField(
        label=_("What it is about"),
        max_length=160,
        help_text=_("as the quote is headed: A new shower at Mill Row"),
    )
    address = forms.CharField(
        label=_("Where"), widget=forms.Textarea(attrs={"rows": 2}), max_length=4000
    )
    held_on = forms.DateField(label=_("Measured on"), widget=DayInput())
    email = forms.EmailField(label=_("E-mail"), required=False)
    phone = forms.CharField(label=_("Telephone"), max_length=40, required=False)
    nature = forms.ChoiceField(label=_("Client is a"), choices=Client.Nature.choices)
    access_width = LengthInput(label=_("Smallest opening, width"), required=False)
    access_height = LengthInput(label=_("Smallest opening, height"), required=False)
    turning = LengthInput(label=_("Space to turn a sheet"), required=False)
    storey = WholeInput(label=_("Storey"), required=False, min_value=-5, max_value=200)
    built = WholeInput(
        label=_("Year built"),
        required=False,
        min_value=1200,
        max_value=2200,
        help_text=_("old floors, adhesives and paint may hold asbestos or lead"),
    )
    substrate = forms.CharField(label=_("Substrate"), required=False, max_length=200)
    system = forms.ChoiceField(
        label=_("A bare number means"),
        choices=(("imperial", _("inches")), ("metric", _("millimetres"))),
    )

    def clean(self) -> dict[str, Any]:
        """Ask for a name where the client is new."""
        cleaned = super().clean() or self.cleaned_data
        if not cleaned.get("client") and not cleaned.get("client_name"):
            self.add_error("client_name", _("Type the client's name, or choose one."))
        return cleaned

    def site_facts(self) -> dict[str, Any]:
        """Return the site's facts as the visit file writes them."""
        entry = self.cleaned_data
        access = {
            name: entry[field]
            for name, field in (
                ("width", "access_width"),
                ("height", "access_height"),
                ("turning", "turning"),
            )
            if entry.get(field)
        }
        plain = {
            name: entry[name]
            for name in ("storey", "built", "substrate")
            if entry.get(name) not in ("", None)
        }
        return {**plain, **({"access": access} if access else {})}


def visit_values(visit: Visit) -> dict[str, Any]:
    """Return a stored visit as the form's first values."""
    site, client = visit.site, visit.site.client
    access = site.facts.get("access", {})
    return {
        "client_name": client.name,
        "title": visit.title,
        "address": site.address,
        "held_on": visit.held_on,
        "email": client.email,
        "phone": client.phone,
        "nature": client.nature,
        "access_width": access.get("width", ""),
        "access_height": access.get("height", ""),
        "turning": access.get("turning", ""),
        "system": visit.system,
        **{name: site.facts.get(name) for name in ("storey", "built", "substrate")},
    }


class SpaceForm(forms.Form):
    """A room or a recess."""

    name = forms.CharField(label=_("Space"), max_length=120)
    times = WholeInput(
        label=_("Stands so many times"), min_value=1, max_value=1000, initial=1
    )
    notes = forms.CharField(
        label=_("Notes"),
        required=False,
        max_length=4000,
        widget=forms.Textarea(attrs={"rows": 2}),
    )


class SurfaceForm(forms.Form):
    """The fixed part of a surface; its shape and parts are in the forms beside."""

    name = forms.CharField(label=_("Surface"), max_length=120)
    role = forms.ChoiceField(label=_("It is a"), choices=ROLES)
    shape = forms.ChoiceField(label=_("Shape"), choices=SHAPES)
    measured_to = forms.ChoiceField(
        label=_("Measured to"),
        choices=MeasuredTo.choices,
        help_text=_("the face the tape lay on; sizes are moved from there"),
    )
    exposure = forms.ChoiceField(label=_("Exposure"), choices=Exposure.choices)
    use = forms.ChoiceField(label=_("Use"), choices=Use.choices, required=False)
    build_up = forms.ChoiceField(label=_("Build-up"), required=False)
    times = WholeInput(
        label=_("Stands so many times"), min_value=1, max_value=1000, initial=1
    )

    def __init__(
        self, *args: Any, build_ups: list[tuple[str, str]], **options: Any
    ) -> None:
        super().__init__(*args, **options)
        self.fields["build_up"].choices = [  # type: ignore[attr-defined]
            ("", _("only measured, nothing built")),
            *build_ups,
        ]


class PhotoForm(forms.Form):
    """A photo of the site."""

    photo = forms.FileField(label=_("Photo"))
    note = forms.CharField(label=_("What it shows"), max_length=200, required=False)


def home_system() -> str:
    """Return what a bare number means in this business."""
    return Business.objects.values_list("system", flat=True).get(pk=1)
