"""The page of one surface, and the drawing that follows what is typed."""

from __future__ import annotations

import uuid

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponseBase
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from materials.core.errors import Refusal
from materials.views.access import person_of, request_key
from quotes import presenters, queries, services
from quotes.forms.visits import SurfaceForm
from quotes.models import Space, Surface
from quotes.queries.surface_words import (
    field_of_path,
    kept_with,
    sentence_on_page,
    surface_entry,
    surface_values,
)
from quotes.queries.visit_files import surface_file
from quotes.views.visits import posted_version, space_or_404


@require_http_methods(["GET", "HEAD", "POST"])
def add_surface(request: HttpRequest, uid: uuid.UUID) -> HttpResponseBase:
    """Measure a surface of a space."""
    space = space_or_404(request, uid)
    return _page(request, space, None)


@require_http_methods(["GET", "HEAD", "POST"])
def surface(request: HttpRequest, uid: uuid.UUID) -> HttpResponseBase:
    """Show and change a surface, or take it out."""
    row = queries.surface_for(person_of(request), uid)
    if row is None:
        raise Http404
    if request.method == "POST" and "remove" in request.POST:
        services.remove_surface(surface=row, person=person_of(request))
        messages.success(request, _("%(name)s was taken out.") % {"name": row.name})
        return redirect("visit", uid=row.space.visit.uid)
    return _page(request, row.space, row)


def _page(request: HttpRequest, space: Space, row: Surface | None) -> HttpResponseBase:
    before = surface_file(row) if row is not None else {}
    first = surface_values(before) if row else presenters.usual_surface(space)
    values = posted_values(request)
    refused: Refusal | None = None
    form = SurfaceForm(
        request.POST or None,
        build_ups=presenters.build_up_choices(space.visit),
        initial=first,
    )
    if request.method == "POST" and form.is_valid():
        try:
            saved = services.save_surface(
                space=space,
                surface=row,
                entry=kept_with(surface_entry(values), before),
                version=posted_version(request),
                person=person_of(request),
                key=request_key(request),
            )
        except Refusal as refusal:
            refused = refusal
            form.add_error(None, sentence_on_page(refusal))
        else:
            return _kept(request, space, saved)
    sheet = presenters.surface_sheet(
        space,
        row,
        values or first,
        wrong=field_of_path(refused.field, shape=values.get("shape", ""))
        if refused
        else "",
        sentence=sentence_on_page(refused) if refused else "",
    )
    context: dict[str, object] = {"space": space, "surface": row, "form": form}
    context |= {"sheet": sheet, "visit": space.visit}
    status = 422 if refused or form.errors else 200
    return render(request, "quotes/surface.html", context, status=status)


def posted_values(request: HttpRequest) -> dict[str, str]:
    """Return what was posted; a character that no database keeps is left out."""
    return {name: str(value).replace("\0", "") for name, value in request.POST.items()}


def _kept(request: HttpRequest, space: Space, saved: Surface) -> HttpResponseBase:
    messages.success(request, _("%(name)s is kept.") % {"name": saved.name})
    if "another" in request.POST:
        return redirect("add-surface", uid=space.uid)
    return redirect("visit", uid=space.visit.uid)


@require_POST
def draw(request: HttpRequest, uid: uuid.UUID) -> HttpResponseBase:
    """Draw a surface as typed so far; keep nothing."""
    space = space_or_404(request, uid)
    values = posted_values(request)
    other = request.POST.get("surface", "")
    context = {"drawn": presenters.drawn_as_typed(space, values, other=other)}
    return render(request, "quotes/_drawn.html", context)
