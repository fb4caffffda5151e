"""Where a second factor is required, nothing else answers before it was shown."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.contrib.auth import logout
from django.http import HttpRequest, HttpResponseBase
from django.shortcuts import redirect
from django.utils.translation import gettext as _

from materials.services import second_factor
from materials.views.access import person_of
from materials.views.second_factor import is_owed

OPEN = frozenset(
    {"sign-in", "sign-out", "second-step", "prove", "add-app", "add-passkey"}
)
"""What may be asked for while the second factor is owed."""

Answer = Callable[[HttpRequest], HttpResponseBase]


class AskForASecondFactor:
    """The middleware that lets a half signed-in person set a second factor up only.

    Pages that ask nobody to sign in, such as a client's, are none of its business.
    """

    def __init__(self, get_response: Answer) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        """Pass the request on; what is asked for is known only further in."""
        return self.get_response(request)

    def process_view(
        self, request: HttpRequest, view: Any, _args: object, _named: object
    ) -> HttpResponseBase | None:
        """Send whoever owes a second factor to where it is set up."""
        if not getattr(view, "login_required", True):
            return None
        if not request.user.is_authenticated or not is_owed(request):
            return None
        if second_factor.is_asked(person_of(request)):
            # They have one and did not show it: a sign-in from before it was asked.
            logout(request)
            return redirect("sign-in")
        match = request.resolver_match
        if match is not None and match.url_name in OPEN:
            return None
        messages.warning(
            request, _("Here everybody has a second factor. Set yours up to go on.")
        )
        return redirect("add-app")
