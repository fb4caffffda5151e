"""Before what a thief would change first, a secret is asked for once more.

Whoever proved one within the last quarter of an hour is not asked. What was typed rides
along on the page that asks, and is done once the secret is right: nothing is lost, and
nothing is kept on the server meanwhile.
"""

from __future__ import annotations

from functools import wraps
from typing import Any
from urllib.parse import urlencode

from django import forms
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.cache import add_never_cache_headers
from django.utils.http import url_has_allowed_host_and_scheme
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from materials.core.errors import Refusal
from materials.forms.sign_in import ProofForm
from materials.models import Person
from materials.services import lockout, second_factor, sign_ins
from materials.services.security import note
from materials.views.access import View, form_status, person_of, show_refusal

OURS = ("csrfmiddlewaretoken", "prove", "password-now", "code-now", "passkey-now")
"""Fields of the question itself, not of what waits for its answer."""


def ask_for_proof(request: HttpRequest) -> HttpResponse | None:
    """Return the page that asks for a secret, or None when there is nothing to ask.

    A secret that came with the request is looked at first.
    """
    if sign_ins.has_proved(request, at=timezone.now()):
        return None
    form = _answered(request)
    if form is not None and not form.errors:
        return None
    carried = [
        (name, value)
        for name, values in request.POST.lists()
        if name not in OURS
        for value in values
    ]
    return _page(request, form, carried=carried, to=request.get_full_path())


def _answered(request: HttpRequest) -> ProofForm | None:
    """Return the form as answered, errors and all; None where nothing was answered."""
    if request.method != "POST" or "prove" not in request.POST:
        return None
    person = person_of(request)
    form = _form(request, person)
    try:
        if form.is_valid() and not _is_proved(request, person, form.cleaned_data):
            form.add_error(None, _("That was not right; try again."))
    except Refusal as refusal:
        show_refusal(form, refusal)
    if not form.errors:
        sign_ins.prove(request, at=timezone.now())
        note("proved again", request)
    return form


def _is_proved(request: HttpRequest, person: Person, said: dict[str, str]) -> bool:
    if said["password-now"]:
        return lockout.is_right(request, person, said["password-now"])
    if said.get("passkey-now"):
        return second_factor.is_right_passkey(request, person, said["passkey-now"])
    if said.get("code-now"):
        return second_factor.is_right_code(request, person, said["code-now"])
    raise Refusal(_("Type your password, or use another way below."))


def _form(request: HttpRequest, person: Person) -> ProofForm:
    data = request.POST if "prove" in request.POST else None
    return ProofForm(data, second=second_factor.is_asked(person))


def _page(
    request: HttpRequest,
    form: forms.Form | None,
    *,
    carried: list[tuple[str, str]],
    to: str,
) -> HttpResponse:
    person = person_of(request)
    form = form or ProofForm(second=second_factor.is_asked(person))
    context = {
        "form": form,
        "carried": carried,
        "to": to,
        "question": second_factor.passkey_question(person)
        if second_factor.is_on()
        else "",
    }
    response = render(
        request, "materials/prove.html", context, status=form_status(form)
    )
    add_never_cache_headers(response)
    return response


def proved(view: View) -> View:
    """Open a page, and let it be sent, only to whoever proved a secret lately."""

    @wraps(view)
    def guarded(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
        looks = request.method in ("GET", "HEAD")
        if not (looks or request.method == "POST") or sign_ins.has_proved(
            request, at=timezone.now()
        ):
            return view(request, *args, **kwargs)
        if looks:
            query = urlencode({"next": request.get_full_path()})
            return redirect(f"{reverse('prove')}?{query}")
        return ask_for_proof(request) or view(request, *args, **kwargs)

    return guarded


def proved_to_send(view: View) -> View:
    """Let a page be sent only by whoever proved a secret lately; all may look at it."""

    @wraps(view)
    def guarded(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
        asked = ask_for_proof(request) if request.method == "POST" else None
        return asked or view(request, *args, **kwargs)

    return guarded


@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
def prove(request: HttpRequest) -> HttpResponseBase:
    """Ask for a secret, and go on to the page that wanted it."""
    wanted = request.POST.get("next") or request.GET.get("next", "")
    here = {request.get_host()}
    if not url_has_allowed_host_and_scheme(
        wanted, allowed_hosts=here, require_https=request.is_secure()
    ):
        wanted = reverse("own-sign-in")
    form = _answered(request)
    if form is not None and not form.errors:
        return redirect(wanted)
    return _page(request, form, carried=[("next", wanted)], to=reverse("prove"))
