"""The page of a flight of stairs: beds for equal risers, and what is cut for it."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponseBase
from django.shortcuts import render
from django.views.decorators.http import require_safe

from materials.core.errors import Refusal
from materials.views.access import show_refusal
from quotes.core.stairs import LIMIT_SOURCE, Flight, set_out_stairs
from quotes.forms.stairs import StairsForm, lengths_of
from quotes.forms.visits import home_system
from quotes.presenters.stairs import step_rows


@require_safe
def stairs(request: HttpRequest) -> HttpResponseBase:
    """Show the form, and the flight once it is there; nothing is kept."""
    form = StairsForm(request.GET or None)
    found = None
    system = home_system()
    if request.GET and form.is_valid():
        try:
            given: dict[str, Any] = lengths_of(form.cleaned_data, system)
            first = form.cleaned_data["laid"] != "riser"
            found = set_out_stairs(Flight(tread_first=first, **given))
        except Refusal as refusal:
            show_refusal(form, refusal)
    context = {
        "form": form,
        "rows": step_rows(found, system) if found else (),
        "found": found,
        "difference": found.difference.text(system) if found else "",
        "plain": found.plain_difference.text(system) if found else "",
        "limit": found.limit.text(system) if found else "",
        "source": f"{LIMIT_SOURCE.title}, {LIMIT_SOURCE.place}",
    }
    status = 422 if request.GET and found is None else 200
    return render(request, "quotes/stairs.html", context, status=status)
