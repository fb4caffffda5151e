"""Pages of a visit: the list, the visit, its spaces, its photos, copies."""

from __future__ import annotations

import uuid

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponseBase, JsonResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import (
    require_http_methods,
    require_POST,
    require_safe,
)

from materials.core.errors import Refusal
from materials.core.limits import UPLOADS
from materials.presenters import query_of
from materials.services import limits
from materials.views.access import (
    OWNER,
    form_status,
    person_of,
    request_key,
    roles,
    show_refusal,
)
from quotes import presenters, queries, services
from quotes.forms.visits import (
    PhotoForm,
    SpaceForm,
    VisitForm,
    home_system,
    visit_values,
)
from quotes.models import Space, Visit
from quotes.queries.whole_files import whole_visit_file
from quotes.services import SpaceEntry, VisitEntry


def visit_or_404(request: HttpRequest, uid: uuid.UUID) -> Visit:
    """Return the visit the person may open."""
    visit = queries.visit_for(person_of(request), uid)
    if visit is None:
        raise Http404
    return visit


def space_or_404(request: HttpRequest, uid: uuid.UUID) -> Space:
    """Return the space of a visit the person may open."""
    space = queries.space_for(person_of(request), uid)
    if space is None:
        raise Http404
    return space


@require_safe
def visits(request: HttpRequest) -> HttpResponseBase:
    """Show visits, newest first."""
    words = request.GET.get("words", "")[:80]
    page = queries.visit_page(
        person=person_of(request), words=words, number=request.GET.get("page", "1")
    )
    context = {"page": page, "query": query_of(words=words)}
    return render(request, "quotes/visits.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
def add_visit(request: HttpRequest) -> HttpResponseBase:
    """Begin a visit."""
    first = {"held_on": timezone.localdate(), "system": home_system()}
    form = VisitForm(request.POST or None, initial=first)
    if request.method == "POST" and form.is_valid():
        try:
            visit = services.make_visit(
                entry=entry_of(form),
                person=person_of(request),
                key=request_key(request),
            )
        except Refusal as refusal:
            show_refusal(form, refusal)
        else:
            return redirect("visit", uid=visit.uid)
    return render(
        request, "quotes/add_visit.html", {"form": form}, status=form_status(form)
    )


def entry_of(form: VisitForm) -> VisitEntry:
    """Return what was entered about a visit."""
    entry = form.cleaned_data
    return VisitEntry(
        title=entry["title"],
        held_on=entry["held_on"],
        client=entry["client"],
        client_name=entry["client_name"],
        address=entry["address"],
        email=entry["email"],
        phone=entry["phone"],
        nature=entry["nature"],
        site_facts=form.site_facts(),
        system=entry["system"],
    )


@require_safe
def visit(request: HttpRequest, uid: uuid.UUID) -> HttpResponseBase:
    """Show a visit: its spaces and surfaces as drawn."""
    row = visit_or_404(request, uid)
    context = {
        "visit": row,
        "stages": presenters.stages(row, person_of(request), "measure"),
        "sheet": presenters.visit_sheet(row),
        "space_form": SpaceForm(),
        "photo_form": PhotoForm(),
    }
    return render(request, "quotes/visit.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
def change_visit(request: HttpRequest, uid: uuid.UUID) -> HttpResponseBase:
    """Change what a visit is about."""
    row = visit_or_404(request, uid)
    form = VisitForm(request.POST or None, initial=visit_values(row))
    del form.fields["client"], form.fields["system"]
    if request.method == "POST" and form.is_valid():
        form.cleaned_data |= {"client": None, "system": row.system}
        try:
            services.save_visit(
                visit=row,
                entry=entry_of(form),
                version=posted_version(request),
            )
        except Refusal as refusal:
            show_refusal(form, refusal)
        else:
            return redirect("visit", uid=row.uid)
    context = {"form": form, "visit": row}
    return render(
        request, "quotes/change_visit.html", context, status=form_status(form)
    )


def posted_version(request: HttpRequest) -> int | None:
    """Return the version the page was opened at; None where it says none."""
    text = request.POST.get("version", "")
    return int(text[:9]) if text.isascii() and text.isdigit() else None


@require_POST
def add_space(request: HttpRequest, uid: uuid.UUID) -> HttpResponseBase:
    """Add a space to a visit."""
    row = visit_or_404(request, uid)
    form = SpaceForm(request.POST)
    if form.is_valid():
        try:
            space = services.save_space(
                visit=row,
                person=person_of(request),
                key=request_key(request),
                entry=SpaceEntry(**form.cleaned_data),
            )
        except Refusal as refusal:
            show_refusal(form, refusal)
        else:
            return redirect("add-surface", uid=space.uid)
    context = {"visit": row, "form": form}
    return render(request, "quotes/space.html", context, status=422)


@require_http_methods(["GET", "HEAD", "POST"])
def space(request: HttpRequest, uid: uuid.UUID) -> HttpResponseBase:
    """Change a space, or take it out with all that is in it."""
    row = space_or_404(request, uid)
    first = {
        "name": row.name,
        "times": row.times,
        "notes": row.facts.get("notes", ""),
    }
    form = SpaceForm(request.POST or None, initial=first)
    if request.method == "POST" and "remove" in request.POST:
        services.remove_space(space=row, person=person_of(request))
        messages.success(request, _("%(name)s was taken out.") % {"name": row.name})
        return redirect("visit", uid=row.visit.uid)
    if request.method == "POST" and form.is_valid():
        try:
            services.save_space(
                visit=row.visit,
                space=row,
                person=person_of(request),
                key=request_key(request),
                entry=SpaceEntry(**form.cleaned_data),
            )
        except Refusal as refusal:
            show_refusal(form, refusal)
        else:
            return redirect("visit", uid=row.visit.uid)
    context = {"visit": row.visit, "space": row, "form": form}
    return render(request, "quotes/space.html", context, status=form_status(form))


@require_POST
def add_photo(request: HttpRequest, uid: uuid.UUID) -> HttpResponseBase:
    """Keep a photo of the site."""
    row = visit_or_404(request, uid)
    form = PhotoForm(request.POST, request.FILES)
    if form.is_valid():
        limits.take(request, UPLOADS)
        try:
            services.add_photo(
                visit=row,
                upload=form.cleaned_data["photo"],
                note=form.cleaned_data["note"],
                person=person_of(request),
                key=request_key(request),
            )
        except Refusal as refusal:
            messages.error(request, refusal.sentence)
    else:
        messages.error(request, _("Choose a photo first."))
    return redirect("visit", uid=row.uid)


@roles(OWNER)
@require_http_methods(["GET", "HEAD", "POST"])
def copy_visit(request: HttpRequest, uid: uuid.UUID) -> HttpResponseBase:
    """Copy a visit to another client, at today's prices."""
    row = visit_or_404(request, uid)
    first = {"title": row.title, "held_on": timezone.localdate()}
    form = VisitForm(request.POST or None, initial=first)
    del form.fields["system"]
    if request.method == "POST" and form.is_valid():
        form.cleaned_data["system"] = row.system
        try:
            copy = services.copy_visit(
                visit=row,
                entry=entry_of(form),
                person=person_of(request),
                key=request_key(request),
            )
        except Refusal as refusal:
            show_refusal(form, refusal)
        else:
            return redirect("visit-changes", uid=copy.uid)
    context = {"form": form, "visit": row}
    return render(request, "quotes/copy_visit.html", context, status=form_status(form))


@roles(OWNER)
@require_safe
def visit_changes(request: HttpRequest, uid: uuid.UUID) -> HttpResponseBase:
    """Show what a copied visit costs today beside the visit it came from."""
    row = visit_or_404(request, uid)
    context = {
        "visit": row,
        "changes": presenters.price_changes(row, timezone.localdate()),
    }
    return render(request, "quotes/visit_changes.html", context)


@roles(OWNER)
@require_safe
def visit_as_file(request: HttpRequest, uid: uuid.UUID) -> HttpResponseBase:
    """Hand out the visit as a file that carries its own prices and rates."""
    row = visit_or_404(request, uid)
    answer = JsonResponse(
        whole_visit_file(row), json_dumps_params={"indent": 1, "ensure_ascii": False}
    )
    answer.headers["Content-Disposition"] = (
        f'attachment; filename="visit-{row.uid}.json"'
    )
    return answer
