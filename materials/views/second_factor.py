"""The second step of signing in, and the pages where a person sets theirs up."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta
from functools import wraps
from typing import Any

from django.conf import settings
from django.contrib import messages
from django.contrib.auth import login
from django.contrib.auth.decorators import login_not_required
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.crypto import constant_time_compare
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST

from materials.core.errors import Refusal
from materials.forms.sign_in import AppForm, PasskeyForm, SecondStepForm
from materials.models import Person
from materials.presenters.scanned import in_fours, square_code
from materials.services import lockout, second_factor, sign_ins
from materials.views.access import View, form_status, person_of, show_refusal
from materials.views.proof import proved

HALF = "half"
"""In a session: who gave the right password and owes the second step."""
HALF_HOLDS = timedelta(minutes=10)
BACKEND = "django.contrib.auth.backends.ModelBackend"


def halt_halfway(
    request: HttpRequest, person: Person, *, to: str, keep: bool
) -> HttpResponse:
    """Write down that the password was right, and ask for the second step."""
    request.session.cycle_key()
    request.session[HALF] = {
        "person": person.pk,
        "hash": person.get_session_auth_hash(),
        "at": timezone.now().isoformat(),
        "next": to,
        "keep": keep,
    }
    return redirect("second-step")


def _halfway(request: HttpRequest) -> tuple[Person, dict[str, Any]] | None:
    """Return who owes the second step; nobody once it was long ago or all changed."""
    half = request.session.get(HALF)
    if half is None:
        return None
    age = timezone.now() - datetime.fromisoformat(half["at"])
    person = Person.objects.filter(pk=half["person"], is_active=True).first()
    if (
        person is None
        or not timedelta(0) <= age < HALF_HOLDS
        or not constant_time_compare(half["hash"], person.get_session_auth_hash())
    ):
        del request.session[HALF]
        return None
    return person, half


@login_not_required
@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
def second_step(request: HttpRequest) -> HttpResponseBase:
    """Ask for a code or a passkey of whoever gave the right password."""
    found = _halfway(request)
    if found is None:
        return redirect("sign-in")
    person, half = found
    form = SecondStepForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            if _passes(request, person, form.cleaned_data):
                return _come_in(request, person, half)
            form.add_error("code", _("That was not right; each code counts once."))
        except Refusal as refusal:
            show_refusal(form, refusal)
    context = {"form": form, "question": second_factor.passkey_question(person)}
    return render(
        request, "registration/second_step.html", context, status=form_status(form)
    )


def _passes(request: HttpRequest, person: Person, said: dict[str, str]) -> bool:
    if said["passkey"]:
        return second_factor.is_right_passkey(request, person, said["passkey"])
    return second_factor.is_right_code(request, person, said["code"])


def _come_in(
    request: HttpRequest, person: Person, half: dict[str, Any]
) -> HttpResponse:
    request.session.pop(HALF, None)
    setattr(request, sign_ins.KEEPS_PERSON, half["keep"])
    login(request, person, backend=BACKEND)
    request.session[second_factor.PASSED] = True
    response = redirect(half["next"])
    lockout.know_device(request, response, person)
    return response


def _if_on(view: View) -> View:
    """Let a page be found only where second factors are offered."""

    @wraps(view)
    def guarded(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
        if not second_factor.is_on():
            raise Http404
        return view(request, *args, **kwargs)

    return guarded


@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
@_if_on
@proved
def add_app(request: HttpRequest) -> HttpResponseBase:
    """Show a secret to an app, and take the app over by the code it shows."""
    person = person_of(request)
    form = AppForm(request.POST if "code" in request.POST else None)
    if form.is_bound and form.is_valid():
        code = form.cleaned_data["code"]
        if made := _taken(
            request,
            form,
            lambda: second_factor.add_app(request=request, person=person, code=code),
        ):
            return made
    secret = second_factor.app_secret(fresh=False)
    address = second_factor.app_address(person, secret)
    context = {
        "form": form,
        "drawn": square_code(address, label=_("To be read by the app's camera")),
        "secret": in_fours(secret),
        "address": address,
    }
    return render(request, "materials/add_app.html", context, status=form_status(form))


@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
@_if_on
@proved
def add_passkey(request: HttpRequest) -> HttpResponseBase:
    """Have the device make a passkey, and take it over."""
    person = person_of(request)
    form = PasskeyForm(request.POST if "passkey" in request.POST else None)
    if form.is_bound and form.is_valid():
        said = form.cleaned_data
        if made := _taken(
            request,
            form,
            lambda: second_factor.add_passkey(
                request=request,
                person=person,
                name=said["name"],
                answer=said["passkey"],
            ),
        ):
            return made
    context = {"form": form, "offer": second_factor.passkey_offer(person)}
    return render(
        request, "materials/add_passkey.html", context, status=form_status(form)
    )


def _taken(
    request: HttpRequest, form: Any, add: Callable[[], list[str]]
) -> HttpResponse | None:
    """Add a second factor, end other sign-ins; return what to show, None if refused."""
    try:
        codes = add()
    except Refusal as refusal:
        show_refusal(form, refusal)
        return None
    sign_ins.end_others(person_of(request), request=request)
    messages.success(request, _("Added; all your other sign-ins have ended."))
    return _show_codes(request, codes) if codes else redirect("own-sign-in")


def _show_codes(request: HttpRequest, codes: list[str]) -> HttpResponse:
    """Show recovery codes, this once: they stand in no page that can be asked again."""
    context = {"codes": [in_fours(code) for code in codes]}
    return render(request, "materials/recovery_codes.html", context)


@never_cache
@require_POST
@_if_on
@proved
def new_codes(request: HttpRequest) -> HttpResponseBase:
    """Make recovery codes in place of the old ones, and show them once."""
    try:
        codes = second_factor.new_codes(request=request, person=person_of(request))
    except Refusal as refusal:
        messages.error(request, refusal.sentence)
        return redirect("own-sign-in")
    return _show_codes(request, codes)


@never_cache
@require_POST
@_if_on
@proved
def remove_factor(request: HttpRequest, pk: int) -> HttpResponseBase:
    """Take away one of one's own second factors."""
    try:
        second_factor.remove_factor(request=request, person=person_of(request), pk=pk)
    except Refusal as refusal:
        messages.error(request, refusal.sentence)
    else:
        messages.success(request, _("Removed."))
    return redirect("own-sign-in")


def is_owed(request: HttpRequest) -> bool:
    """Return whether a sign-in has yet to show, or set up, a second factor."""
    return settings.SECOND_FACTOR == "required" and not request.session.get(
        second_factor.PASSED
    )
