"""Refusals that come before any page: each in a sentence, each in the security log."""

from __future__ import annotations

from collections.abc import Callable

from django.conf import settings
from django.core.exceptions import DisallowedHost, RequestDataTooBig
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import render
from django.template import loader
from django.utils.translation import gettext as _

from gaugerod.security import note
from materials.core.limits import TooOften
from materials.views.access import too_many

Answer = Callable[[HttpRequest], HttpResponseBase]


def refuse_large_bodies(get_response: Answer) -> Answer:
    """Return the middleware that reads no request larger than any form can be."""

    def answer(request: HttpRequest) -> HttpResponseBase:
        length = request.META.get("CONTENT_LENGTH") or "0"
        if not length.isdecimal() or int(length) > settings.MOST_BODY:
            raise RequestDataTooBig("The body is larger than any form here.")
        return get_response(request)

    return answer


class HoldBack:
    """The middleware that answers who asks for something costly too often (429)."""

    def __init__(self, get_response: Answer) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        """Pass the request on; views say when it is too often."""
        return self.get_response(request)

    def process_exception(
        self, request: HttpRequest, exception: Exception
    ) -> HttpResponseBase | None:
        """Turn the limit a view met into its page."""
        return too_many(request) if isinstance(exception, TooOften) else None


def bad_request(request: HttpRequest, exception: Exception) -> HttpResponse:
    """Answer what cannot be read (400) or is too large to be (413).

    Rendered without the request: it may be the request that cannot be trusted.
    """
    event, status = "request refused", 400
    if isinstance(exception, DisallowedHost):
        event = "host refused"
    elif isinstance(exception, RequestDataTooBig):
        event, status = "body too large", 413
    note(event, request, what=_what(request), kind=type(exception).__name__)
    page = loader.get_template(f"{status}.html").render()
    return HttpResponse(page, status=status)


def _what(request: HttpRequest) -> str:
    return f"{request.method} {request.path}"


def forbidden(request: HttpRequest, exception: Exception) -> HttpResponse:
    """Answer who may not open a page with who may."""
    note("forbidden", request, what=_what(request))
    return render(request, "403.html", {"exception": str(exception)}, status=403)


def csrf_failed(request: HttpRequest, reason: str = "") -> HttpResponse:
    """Answer a form that did not come from a page of ours, or from too old a one."""
    note("form from elsewhere", request, what=_what(request), reason=reason[:80])
    sentence = _(
        "This form did not come from an open page of this program, or the page was too "
        "old. Nothing was changed: open the page again, and send it once more."
    )
    return render(request, "403.html", {"exception": sentence}, status=403)
