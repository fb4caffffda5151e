"""The page where the owner says who may sign in."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from materials import queries, services
from materials.core.errors import Refusal
from materials.forms.people import PersonForm, RoleForm
from materials.models import Person
from materials.services.security import note
from materials.views.access import (
    OWNER,
    form_status,
    person_of,
    request_key,
    roles,
    show_refusal,
)
from materials.views.proof import proved_to_send


@roles(OWNER)
@require_http_methods(["GET", "HEAD", "POST"])
@proved_to_send
def people(request: HttpRequest) -> HttpResponseBase:
    """Show who may sign in; add somebody."""
    form = PersonForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            person = services.add_person(
                **form.cleaned_data, by=person_of(request), key=request_key(request)
            )
        except Refusal as refusal:
            show_refusal(form, refusal)
        else:
            messages.success(request, _("%(name)s can sign in.") % {"name": person})
            return redirect("people")
    context = {"form": form, "people": queries.people(), "role_form": RoleForm()}
    return render(request, "materials/people.html", context, status=form_status(form))


@roles(OWNER)
@require_POST
@proved_to_send
def change_person(request: HttpRequest, pk: int) -> HttpResponseBase:
    """Give a person another role, end their access, or let them try again."""
    person = get_object_or_404(Person, pk=pk)
    try:
        if "end" in request.POST:
            services.end_access(person=person, by=person_of(request))
            note("access ended", request, person=pk)
        elif "let-in" in request.POST:
            services.let_in(person=person, by=person_of(request))
            messages.success(
                request, _("%(name)s may try to sign in again.") % {"name": person}
            )
        else:
            services.change_role(
                person=person, role=request.POST.get("role", ""), by=person_of(request)
            )
            note("role changed", request, person=pk, role=person.role)
    except Refusal as refusal:
        messages.error(request, refusal.sentence)
    return redirect("people")
