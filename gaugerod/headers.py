"""What every answer says to the browser: pages, files, redirects and refusals alike.

Outermost of all, so that nothing is answered without passing here: a host that is
refused, a redirect to HTTPS and a static file never reach the layers further in.
"""

from __future__ import annotations

from collections.abc import Callable

from django.conf import settings
from django.http import HttpRequest, HttpResponseBase

PRIVATE = "/o/"
"""Where the addresses begin that are secrets themselves: a client's private links."""
HAS_FORM = (200, 422)

Answer = Callable[[HttpRequest], HttpResponseBase]


def guard_every_answer(get_response: Answer) -> Answer:
    """Return the middleware that leaves no answer without its guards."""

    def answer(request: HttpRequest) -> HttpResponseBase:
        response = get_response(request)
        for name, value in _guards(request).items():
            response.headers.setdefault(name, value)
        if request.path_info.startswith(PRIVATE):
            _keep_private(response)
        return response

    return answer


def _guards(request: HttpRequest) -> dict[str, str]:
    """Return what stands on an answer that says nothing else.

    Most of it is set further in, too; a refused host is answered before that. Nothing
    is left in a cache unless it says that it may be, as static files do: whoever signs
    out on a borrowed machine leaves no page behind.
    """
    guards = {
        "X-Frame-Options": settings.X_FRAME_OPTIONS,
        "X-Content-Type-Options": "nosniff",
        "Referrer-Policy": settings.SECURE_REFERRER_POLICY,
        "Cross-Origin-Opener-Policy": settings.SECURE_CROSS_ORIGIN_OPENER_POLICY,
        "Cross-Origin-Resource-Policy": "same-origin",
        "Permissions-Policy": "geolocation=(), microphone=(), payment=(), usb=()",
        "Cache-Control": "private, no-store",
    }
    if settings.SECURE_HSTS_SECONDS and request.is_secure():
        guards["Strict-Transport-Security"] = (
            f"max-age={settings.SECURE_HSTS_SECONDS}; includeSubDomains; preload"
        )
    return guards


def _keep_private(response: HttpResponseBase) -> None:
    """Let the address of a private link go no further than this page.

    A page with a form names the host and no path to where it sends: with
    "no-referrer" a browser says "Origin: null" beside the form, which CSRF refuses, and
    with "same-origin" the token stands as Referer of every style sheet it asks for.
    """
    kind = response.headers.get("Content-Type", "")
    may_post = response.status_code in HAS_FORM and kind.startswith("text/html")
    response.headers["Referrer-Policy"] = "strict-origin" if may_post else "no-referrer"
    response.headers["X-Robots-Tag"] = "noindex, nofollow"
    response.headers["Cache-Control"] = "no-store"
