"""The security log: one line for each refusal, saying what was refused, to whom, where.

All of it goes to the logger `gaugerod.security`. Pages of this package call `note`; the
apps below, which may not import it, log an event to the same logger by its name, and
who asked for what is added from the request that is being answered. When is the line's
own time, in UTC. No name, word or key that somebody typed is written: a password is
easily typed where a name belongs.
"""

from __future__ import annotations

import logging
import time
from collections.abc import Callable
from contextvars import ContextVar
from threading import Lock

from django.conf import settings
from django.db import DatabaseError
from django.http import HttpRequest, HttpResponseBase

from gaugerod.logs import one_line

LOGGER = logging.getLogger("gaugerod.security")
MOST_A_MINUTE = 30
"""Lines of one event that anybody can cause as often as they like."""
_MINUTE = 60

Answer = Callable[[HttpRequest], HttpResponseBase]

_asked: ContextVar[HttpRequest | None] = ContextVar("asked", default=None)


def note(event: str, request: HttpRequest | None, **facts: object) -> None:
    """Write one line: what happened, who asked, from where, for what; then the facts.

    `facts` are the program's own words and numbers, never what somebody typed.
    """
    LOGGER.warning(event, extra={"asked": request, "facts": facts})


def know_the_request(get_response: Answer) -> Answer:
    """Return the middleware that lets the log know which request is being answered."""

    def answer(request: HttpRequest) -> HttpResponseBase:
        before = _asked.set(request)
        try:
            return get_response(request)
        finally:
            _asked.reset(before)

    return answer


class WhoAndWhat(logging.Filter):
    """Complete a line of the security log; leave out what comes far too often."""

    def __init__(self) -> None:
        super().__init__()
        self._lock = Lock()
        self._began = 0.0
        self._seen: dict[str, int] = {}

    def filter(self, record: logging.LogRecord) -> bool:
        """Add who, from where, what and the facts; False once it is one too many."""
        event = record.getMessage()
        facts: dict[str, object] = dict(getattr(record, "facts", {}))
        if getattr(record, "sparingly", False):
            count = self._counted(event)
            if count > MOST_A_MINUTE:
                return False
            if count == MOST_A_MINUTE:
                facts["more"] = "left out for the rest of this minute"
        request = getattr(record, "asked", None) or _asked.get()
        told = {**_who_and_what(request), **facts}
        words = "".join(f' {name}="{one_line(told[name])}"' for name in told)
        record.msg, record.args = f"{one_line(event)}{words}", ()
        return True

    def _counted(self, event: str) -> int:
        """Return how many times an event came in this minute, in this process."""
        with self._lock:
            now = time.monotonic()
            if now - self._began >= _MINUTE:
                self._began, self._seen = now, {}
            self._seen[event] = self._seen.get(event, 0) + 1
            return self._seen[event]


def _who_and_what(request: HttpRequest | None) -> dict[str, str]:
    if request is None:
        return {"who": "the program"}
    return {
        "who": _who(request),
        "from": address_of(request),
        "what": f"{request.method} {request.path}",
    }


def _who(request: HttpRequest) -> str:
    """Return the number of who is signed in; a name could hold anything."""
    try:
        found = getattr(getattr(request, "user", None), "pk", None)
    except DatabaseError:
        return "unknown"
    return "nobody" if found is None else f"person {found}"


def address_of(request: HttpRequest) -> str:
    """Return the address a request came from.

    Behind the proxy (`GAUGEROD_HTTPS`) that is what the proxy wrote last; without one
    a forwarded address is only a claim.
    """
    forwarded = request.headers.get("X-Forwarded-For", "") if settings.HTTPS else ""
    last = forwarded.rpartition(",")[2].strip()
    return last or request.META.get("REMOTE_ADDR", "") or "unknown"
