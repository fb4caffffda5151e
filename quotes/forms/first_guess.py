"""Four sizes read over the telephone: a room and a tile."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy as _

from materials.forms.values import LengthInput


class FirstGuessForm(forms.Form):
    """A rectangular room, floor or wall, and a tile."""

    length = LengthInput(label=_("Length of the floor or wall"))
    width = LengthInput(label=_("Its width or height"))
    tile_length = LengthInput(label=_("Length of the tile"))
    tile_width = LengthInput(label=_("Width of the tile"))
