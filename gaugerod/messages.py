"""Where a page's “saved” waits for the next page: a cookie, under a name of this host.

Django's own storage gives its cookie a fixed name, which over TLS must begin with
`__Host-` like the others, so that no neighbour under the same domain can plant one.
"""

from __future__ import annotations

from django.conf import settings
from django.contrib.messages.storage.cookie import CookieStorage
from django.contrib.messages.storage.fallback import FallbackStorage
from django.contrib.messages.storage.session import SessionStorage
from django.http import HttpRequest


class InACookie(CookieStorage):
    """Django's storage in a cookie, which over TLS browsers hold to this host."""

    def __init__(self, request: HttpRequest) -> None:
        self.cookie_name = "__Host-messages" if settings.HTTPS else "messages"
        super().__init__(request)


class Storage(FallbackStorage):
    """A cookie first; what does not fit it goes into the session."""

    storage_classes = (InACookie, SessionStorage)
