"""The days a bookkeeper asks for."""

from __future__ import annotations

from datetime import date
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from jobs.forms.actuals import day_field


class PeriodForm(forms.Form):
    """From one day to another, both counted."""

    since = day_field(_("From"))
    until = day_field(_("Until"))

    def clean(self) -> dict[str, Any]:
        """Refuse a period that ends before it begins."""
        cleaned = super().clean() or self.cleaned_data
        since, until = cleaned.get("since"), cleaned.get("until")
        if since and until and until < since:
            self.add_error("until", _("This lies before the first day."))
        return cleaned


def this_year(on: date) -> dict[str, date]:
    """Return the calendar year so far."""
    return {"since": on.replace(month=1, day=1), "until": on}
