"""One's own sign-in: password, address for notices, where one is signed in."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth import update_session_auth_hash
from django.http import HttpRequest, HttpResponseBase
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.cache import never_cache
from django.views.decorators.http import (
    require_http_methods,
    require_POST,
    require_safe,
)

from materials import services
from materials.core.errors import Refusal
from materials.forms.sign_in import OwnAddressForm, OwnPasswordForm
from materials.models import Person
from materials.services import lockout, second_factor, sign_ins
from materials.services.security import note
from materials.views.access import form_status, person_of, show_refusal
from materials.views.proof import proved_to_send


@never_cache
@require_safe
def own_sign_in(request: HttpRequest) -> HttpResponseBase:
    """Show what belongs to one's own sign-in."""
    person = person_of(request)
    context = {
        "person": person,
        "open": sign_ins.open_sign_ins(person),
        "this_one": request.session.session_key,
        "second": second_factor.is_on(),
        "factors": second_factor.factors_of(person) if second_factor.is_on() else [],
        "codes_left": second_factor.codes_left(person),
    }
    return render(request, "materials/own_sign_in.html", context)


@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
def own_password(request: HttpRequest) -> HttpResponseBase:
    """Change one's own password; the present one is asked, other sign-ins end."""
    form = OwnPasswordForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            _change_password(request, form)
        except Refusal as refusal:
            show_refusal(form, refusal)
        else:
            messages.success(
                request,
                _("The password is changed; all your other sign-ins have ended."),
            )
            return redirect("own-sign-in")
    return render(
        request,
        "materials/own_password.html",
        {"form": form},
        status=form_status(form),
    )


def _change_password(request: HttpRequest, form: OwnPasswordForm) -> None:
    person = Person.objects.get(pk=person_of(request).pk)
    if not lockout.is_right(request, person, form.cleaned_data["old"]):
        raise Refusal(_("This is not your present password."), field="old")
    services.change_password(
        person=person, password=form.cleaned_data["new"], at=timezone.now()
    )
    key = request.session.session_key
    update_session_auth_hash(request, person)
    sign_ins.moved(request, old_key=key)
    sign_ins.prove(request, at=timezone.now())
    note("password changed", request)
    sign_ins.end_others(person, request=request)


@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
@proved_to_send
def own_address(request: HttpRequest) -> HttpResponseBase:
    """Say where notices about one's own sign-in go."""
    person = person_of(request)
    form = OwnAddressForm(request.POST or None, initial={"email": person.email})
    if request.method == "POST" and form.is_valid():
        try:
            services.change_email(
                person=Person.objects.get(pk=person.pk),
                email=form.cleaned_data["email"],
                at=timezone.now(),
            )
        except Refusal as refusal:
            show_refusal(form, refusal)
        else:
            note("e-mail changed", request)
            messages.success(request, _("Saved."))
            return redirect("own-sign-in")
    return render(
        request, "materials/own_address.html", {"form": form}, status=form_status(form)
    )


@require_POST
def end_sign_ins(request: HttpRequest) -> HttpResponseBase:
    """End one of one's own sign-ins, or all but this one."""
    person = person_of(request)
    which = request.POST.get("which", "")
    if which == "others":
        ended = sign_ins.end_others(person, request=request)
    else:
        mine = [one for one in sign_ins.open_sign_ins(person) if str(one.pk) == which]
        ended = sign_ins.end(mine, request=request)
    messages.success(
        request,
        ngettext("%(n)s sign-in ended.", "%(n)s sign-ins ended.", ended) % {"n": ended},
    )
    return redirect("own-sign-in")
