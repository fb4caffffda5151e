"""The page for the telephone: roughly how much tile, before anybody measures."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponseBase
from django.shortcuts import render
from django.views.decorators.http import require_safe

from materials.core.errors import Refusal
from materials.core.lengths import Length
from materials.core.quantities import decimal_text, half_up
from materials.views.access import show_refusal
from quotes.core.first_guess import ERROR, first_guess
from quotes.forms.first_guess import FirstGuessForm
from quotes.forms.visits import home_system


@require_safe
def guess(request: HttpRequest) -> HttpResponseBase:
    """Show the form, and the guess once four sizes are there; nothing is kept."""
    form = FirstGuessForm(request.GET or None)
    found = None
    if request.GET and form.is_valid():
        system = home_system()
        sizes = {
            name: Length.parse(text, system=system)
            for name, text in form.cleaned_data.items()
        }
        try:
            found = first_guess(
                length=sizes["length"],
                width=sizes["width"],
                tile_length=sizes["tile_length"],
                tile_width=sizes["tile_width"],
            )
        except Refusal as refusal:
            show_refusal(form, refusal)
    context = {
        "form": form,
        "guess": found,
        "error": ERROR,
        "loss": decimal_text(half_up(found.loss * 100), places=0) if found else "",
    }
    status = 422 if request.GET and found is None else 200
    return render(request, "quotes/first_guess.html", context, status=status)
