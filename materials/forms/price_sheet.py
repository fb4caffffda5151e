"""The form that takes a table of prices."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy as _


class SheetForm(forms.Form):
    """A table saved by a spreadsheet."""

    sheet = forms.FileField(
        label=_("The table, as CSV or XLSX"),
        widget=forms.ClearableFileInput(attrs={"accept": ".csv,.xlsx,.txt"}),
        help_text=_("nothing changes before you have seen what would"),
    )
