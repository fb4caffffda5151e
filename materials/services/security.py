"""Every event that touches security is told in one way: who, from where, when, what.

Never a secret: no password, code, cookie or key is handed in, and a name that was typed
in vain is not told either, for people type passwords where the name goes.
"""

from __future__ import annotations

import json
import logging
from datetime import UTC, datetime

from django.conf import settings
from django.http import HttpRequest

from materials.core.addresses import client_address

logger = logging.getLogger("gaugerod.security")


def address_of(request: HttpRequest | None) -> str:
    """Return where a request came from, proxies of our own left out; "" if unknown."""
    if request is None:
        return ""
    return client_address(
        remote=request.META.get("REMOTE_ADDR", ""),
        forwarded=request.META.get("HTTP_X_FORWARDED_FOR", ""),
        proxies=settings.PROXIES,
    )


def note(event: str, request: HttpRequest | None, **facts: object) -> None:
    """Write an event to the security log.

    Facts are written as JSON, so that no line break of theirs begins another line.
    """
    person = getattr(request, "user", None)
    told = {
        "event": event,
        "who": person.pk if person is not None and person.is_authenticated else None,
        "from": address_of(request),
        "at": datetime.now(UTC).isoformat(timespec="seconds"),
        **facts,
    }
    logger.warning("%s", json.dumps(told, default=str), extra={"event": event})
