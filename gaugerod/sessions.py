"""Sessions are held to their limits: unused and in all, whatever the cookie says."""

from __future__ import annotations

from collections.abc import Callable

from django.contrib.auth import SESSION_KEY, logout
from django.http import HttpRequest, HttpResponseBase
from django.utils import timezone

from gaugerod.security import note
from materials.services import sign_ins

Answer = Callable[[HttpRequest], HttpResponseBase]


def hold_to_the_limits(get_response: Answer) -> Answer:
    """Return the middleware that ends a sign-in which lasted too long."""

    def answer(request: HttpRequest) -> HttpResponseBase:
        if sign_ins.is_signed_in(request):
            now = timezone.now()
            if sign_ins.is_over(request, at=now):
                note("session ran out", request, person=request.session[SESSION_KEY])
                logout(request)
            else:
                sign_ins.see(request, at=now)
        return get_response(request)

    return answer
