"""The page where a set-out is picked for each tiled part of a surface."""

from __future__ import annotations

import uuid
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponseBase
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from materials.core.errors import Refusal
from materials.core.lengths import Length
from materials.views.access import person_of, request_key
from quotes import queries, services
from quotes.core.set_out_choices import chosen_pattern
from quotes.models import Surface
from quotes.presenters.set_out_choices import choice_sheet, through_of, tiled_parts
from quotes.queries.visit_files import surface_file
from quotes.views.visits import posted_version

THROUGH = "through"


@require_http_methods(["GET", "HEAD", "POST"])
def set_outs(request: HttpRequest, uid: uuid.UUID) -> HttpResponseBase:
    """Show the set-outs of a surface's parts beside each other, and keep one."""
    surface = queries.surface_for(person_of(request), uid)
    if surface is None:
        raise Http404
    refused = ""
    if request.method == "POST":
        try:
            if request.POST.get("aim") == THROUGH:
                _pick_through(request, surface)
            else:
                _pick(request, surface)
        except Refusal as refusal:
            refused = refusal.sentence
        else:
            messages.success(request, _("The set-out is kept."))
            return redirect("set-outs", uid=surface.uid)
    context = {
        "surface": surface,
        "visit": surface.space.visit,
        "sheet": choice_sheet(surface),
        "refused": refused,
        "typed": request.POST,
    }
    status = 422 if refused else 200
    return render(request, "quotes/set_outs.html", context, status=status)


def _pick_through(request: HttpRequest, surface: Surface) -> None:
    """Keep the chalk lines of every part whose rows run through, all or none.

    Raises: Refusal when nothing runs through any more, or a surface was changed.
    """
    seen = dict(
        pair.rsplit(":", 1)
        for pair in request.POST.getlist("seen")[:200]
        if pair.count(":") == 1
    )
    found = [
        one
        for one in through_of(surface.space)
        if {part.part.surface_id for part in one.parts} == set(seen)
    ]
    if not found:
        raise Refusal(
            _("Nothing runs through here any more; look at the surface again."),
            field="aim",
        )
    system = surface.space.visit.system
    lines = {
        one.part.surface_id: (
            {"name": "stack", **one.part.pattern},
            [Length(one.across).text(system), Length(one.up).text(system)],
        )
        for one in found[0].parts
    }
    services.keep_set_outs(
        space=surface.space,
        patterns={
            uid: {**pattern, "origin": origin}
            for uid, (pattern, origin) in lines.items()
        },
        versions={uid: _version(seen.get(uid, "")) for uid in lines},
        person=person_of(request),
        key=request_key(request),
    )


def _version(text: str) -> int:
    return int(text) if text.isascii() and text.isdigit() and len(text) < 9 else 0


def _pick(request: HttpRequest, surface: Surface) -> None:
    """Keep the set-out that was posted, in its region or in the surface.

    Raises: Refusal for a part that is not there, or an origin that is no length.
    """
    parts = tiled_parts(surface).parts
    place = request.POST.get("layer", "")
    if place not in {str(at) for at in range(len(parts))}:
        raise Refusal(
            _("That part is not there any more; look at the surface again."),
            field="layer",
        )
    part = parts[int(place)]
    own = (request.POST.get("across", "")[:40], request.POST.get("up", "")[:40])
    pattern = chosen_pattern(part, request.POST.get("aim", "")[:20], own)
    entry: dict[str, Any] = surface_file(surface)
    if part.region_id:
        for region in entry["regions"]:
            if region["id"] == part.region_id:
                region["pattern"] = pattern
    else:
        entry["pattern"] = pattern
    services.save_surface(
        space=surface.space,
        surface=surface,
        entry=entry,
        version=posted_version(request),
        person=person_of(request),
        key=request_key(request),
    )
