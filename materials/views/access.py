"""Who may open a page, and how a refusal becomes a sentence on the form."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any

from django import forms
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import render
from django.utils.cache import add_never_cache_headers
from django.utils.translation import gettext as _

from materials.core.errors import Refusal
from materials.core.guessing import WITHIN
from materials.models import Business, Person

View = Callable[..., HttpResponseBase]

OWNER = Person.Role.OWNER
SETTER = Person.Role.SETTER
OFFICE = Person.Role.OFFICE


def business_of(request: HttpRequest) -> Business | None:
    """Return the business as this request read it, or None before it is set up."""
    found = getattr(request, "the_business", None)
    return found if isinstance(found, Business) else None


def person_of(request: HttpRequest) -> Person:
    """Return who is signed in; pages behind sign-in always have somebody."""
    if not isinstance(request.user, Person):
        raise PermissionDenied
    return request.user


def roles(*allowed: str) -> Callable[[View], View]:
    """Open a page to these roles only; others read who may do it."""

    def wrap(view: View) -> View:
        @wraps(view)
        def guarded(
            request: HttpRequest, *args: Any, **kwargs: Any
        ) -> HttpResponseBase:
            if person_of(request).role not in allowed:
                names = ", ".join(str(Person.Role(role).label) for role in allowed)
                raise PermissionDenied(
                    _("This page is for: %(roles)s. Ask them, or sign in as one.")
                    % {"roles": names}
                )
            return view(request, *args, **kwargs)

        return guarded

    return wrap


def request_key(request: HttpRequest) -> str:
    """Return the key the client made for this request, from form or header."""
    return request.POST.get("request_key", "") or request.headers.get(
        "Idempotency-Key", ""
    )


def show_refusal(form: forms.BaseForm, refusal: Refusal) -> None:
    """Put a core's refusal beside the field it names, else above the form."""
    field = refusal.field.rpartition(".")[2]
    form.add_error(field if field in form.fields else None, refusal.sentence)


def form_status(form: forms.BaseForm) -> int:
    """Return the status of a page with a form: 422 where it was refused, else 200."""
    return 422 if form.is_bound and form.errors else 200


def too_many(request: HttpRequest) -> HttpResponse:
    """Answer who asks too often; what they typed stands on the page, to be sent again.

    A file cannot ride along, and the page says so.
    """
    posted = request.method == "POST"
    context = {
        "again": request.get_full_path() if posted else "",
        "has_files": bool(posted and request.FILES),
        "carried": [
            (name, value)
            for name, values in (request.POST.lists() if posted else ())
            if name != "csrfmiddlewaretoken"
            for value in values
        ],
    }
    answer = render(request, "429.html", context, status=429)
    answer.headers["Retry-After"] = str(int(WITHIN.total_seconds()))
    add_never_cache_headers(answer)
    return answer
