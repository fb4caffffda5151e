"""The form above every letter: to whom, and in what words of one's own."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _


class MailForm(forms.Form):
    """One address, and words that stand at the letter's head."""

    to = forms.CharField(
        label=_("E-mail address"),
        max_length=254,
        widget=forms.EmailInput(attrs={"autocomplete": "off"}),
        help_text=_("one address; it is kept for the client if none was kept yet"),
    )
    words = forms.CharField(
        label=_("Words of your own"),
        max_length=2_000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 4}),
        help_text=_("they stand under the greeting"),
    )

    def typed(self) -> dict[str, Any]:
        """Return what was typed so far, valid or not: for the letter shown below."""
        return {
            "to": str(self["to"].value() or ""),
            "words": str(self["words"].value() or ""),
        }
