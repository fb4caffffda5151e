"""Build-ups of a visit: taken from the business's own, then varied."""

from __future__ import annotations

import re
import uuid

from django.http import Http404, HttpRequest, HttpResponseBase
from django.shortcuts import redirect, render
from django.utils.text import slugify
from django.views.decorators.http import require_http_methods

from materials.core.errors import Refusal
from quotes import queries, services
from quotes.models import BuildUp
from quotes.presenters.buildups import layer_groups
from quotes.queries.layer_words import layer_values, layers_entry
from quotes.views.surfaces import posted_values
from quotes.views.visits import visit_or_404


@require_http_methods(["GET", "HEAD", "POST"])
def build_ups(request: HttpRequest, uid: uuid.UUID) -> HttpResponseBase:
    """Show a visit's build-ups; take one of the business's own, or begin a new one."""
    visit = visit_or_404(request, uid)
    if request.method == "POST":
        chosen = request.POST.get("template", "")
        template = queries.build_up_templates().filter(key=chosen).first()
        name = template.name if template else request.POST.get("name", "").strip()
        key = template.key if template else slugify(name)[:80] or "new"
        if name:
            # Taken twice, the one that is there stands: it may have been changed.
            if not visit.build_ups.filter(key=key).exists():
                services.take_build_up(
                    visit=visit, key_name=key, name=name, template=template
                )
            return redirect("build-up", uid=visit.uid, key=key)
    context = {
        "visit": visit,
        "build_ups": visit.build_ups.all(),
        "templates": queries.build_up_templates(),
    }
    return render(request, "quotes/build_ups.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
def build_up(request: HttpRequest, uid: uuid.UUID, key: str) -> HttpResponseBase:
    """Show and change the layers of one build-up."""
    visit = visit_or_404(request, uid)
    row = visit.build_ups.filter(key=key).first()
    if row is None:
        raise Http404
    refused: Refusal | None = None
    values = layer_values(row.layers)
    if request.method == "POST":
        values = posted_values(request)
        try:
            _save(request, row, values)
        except Refusal as refusal:
            refused = refusal
        else:
            return redirect("visit", uid=visit.uid)
    count = max(
        (int(found[1]) + 1 for name in values if (found := _PLACE.match(name))),
        default=0,
    )
    context = {
        "visit": visit,
        "build_up": row,
        "name": values.get("name", row.name),
        "rows": layer_groups(
            values,
            count=min(count, len(row.layers) + 4),
            wrong=_field_of(refused.field) if refused else "",
            sentence=refused.sentence if refused else "",
        ),
        "refused": refused,
    }
    return render(
        request, "quotes/build_up.html", context, status=422 if refused else 200
    )


def _save(request: HttpRequest, row: BuildUp, values: dict[str, str]) -> None:
    services.save_build_up(
        visit=row.visit,
        key_name=row.key,
        name=values.get("name", "").strip() or row.name,
        layers=layers_entry(values, row.layers),
    )


_PLACE = re.compile(r"layer_([0-9]{1,2})_role", re.ASCII)
_PATH = re.compile(r".*layers\[(\d+)\]\.([a-z_.]+)")


def _field_of(path: str) -> str:
    match = _PATH.fullmatch(path)
    if match is None:
        return ""
    return f"layer_{match[1]}_{match[2].replace('.', '_')}"
