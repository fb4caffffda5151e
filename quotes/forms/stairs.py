"""A flight of stairs as the rule reads it, and what is laid on it."""

from __future__ import annotations

import re

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from materials.core.errors import Refusal
from materials.core.lengths import Length
from materials.forms.values import LengthInput
from quotes.core.stairs import MOST_RISERS


class StairsForm(forms.Form):
    """Rises from the bottom up, thicknesses, going; nothing of it is kept."""

    risers = forms.CharField(
        label=gettext_lazy("Rises as measured, from the bottom up"),
        max_length=600,
        help_text=gettext_lazy(
            "one after another with commas between, such as 178, 181"
        ),
    )
    bottom = LengthInput(label=gettext_lazy("Laid on the bottom floor, tile and bed"))
    landing = LengthInput(
        label=gettext_lazy("Laid on the landing, tile and bed"),
        help_text=gettext_lazy("0 where the floor there stays"),
    )
    tile = LengthInput(label=gettext_lazy("Tile of the treads, alone"))
    bed = LengthInput(label=gettext_lazy("Least bed under it"))
    riser = LengthInput(label=gettext_lazy("On the face of a riser, tile and bed"))
    going = LengthInput(
        label=gettext_lazy("Going"),
        help_text=gettext_lazy("from one riser's face to the next"),
    )
    nosing = LengthInput(
        label=gettext_lazy("Tread over the riser tile below"),
        required=False,
        help_text=gettext_lazy("or the profile's; empty for flush"),
    )
    laid = forms.ChoiceField(
        label=gettext_lazy("Laid first"),
        choices=[
            ("tread", gettext_lazy("the tread: riser tiles stand on it")),
            ("riser", gettext_lazy("the riser: its tiles run down behind the tread")),
        ],
        required=False,
    )
    limit = LengthInput(
        label=gettext_lazy("Risers may differ by"),
        required=False,
        help_text=gettext_lazy("the local rule; 3/8 in (9.5 mm) where left empty"),
    )

    def clean_risers(self) -> list[str]:
        """Return the rises as typed, one by one."""
        typed = re.split(r"[,;\n]", self.cleaned_data["risers"])
        rises = [one.strip() for one in typed if one.strip()]
        if len(rises) > MOST_RISERS:
            raise ValidationError(
                _("A flight has at most %(most)d rises.") % {"most": MOST_RISERS}
            )
        return rises


def lengths_of(cleaned: dict[str, object], system: str) -> dict[str, object]:
    """Return what the form holds as lengths; the rises as a tuple.

    Raises: Refusal at `risers` for a rise that is no length.
    """
    found: dict[str, object] = {
        name: Length.parse(text, system=system)
        for name, text in cleaned.items()
        if isinstance(text, str) and text and name != "laid"
    }
    rises = cleaned["risers"]
    try:
        found["risers"] = tuple(
            Length.parse(str(one), system=system)
            for one in (rises if isinstance(rises, list) else [])
        )
    except Refusal as refusal:
        raise refusal.at("risers") from refusal
    return found
