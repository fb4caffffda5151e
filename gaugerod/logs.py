"""What a log never says: no secret, and no line that somebody else has written.

Secrets are known by value (the secret key, passwords of database, mail and broker), by
the word before them (password=…, Authorization: …, a private link's /o/…) and by their
look: a long run of letters of both cases and digits, as tokens and session keys are.
"""

from __future__ import annotations

import logging
import re
import time
from collections import Counter
from itertools import pairwise
from threading import Lock
from urllib.parse import unquote, urlsplit

from django.conf import settings

INSTEAD = "(secret)"
FROM_ANYBODY = frozenset(
    {
        "body too large",
        "form from elsewhere",
        "host refused",
        "link not open",
        "request refused",
    }
)
"""Events that nobody has to be signed in for, so that there is no end to them."""
MOST_A_MINUTE = 30
MINUTE = 60
_STANDARD = set(vars(logging.makeLogRecord({}))) | {"message", "asctime"}

_NAMES = (
    r"\w*(?:password|passwd|passphrase|secret(?:[_-]?key)?|token|session[_-]?key)[0-9]?"
    r"|pass|sessionid|csrf_?cookie|one[_-]?time[_-]?code|recovery[_-]?code|api[_-]?key"
    r"|t?otp|code|pin"
)
_PRIVATE = re.compile(r"(/o/)(?!\(secret\))[^\s/?#\"'<>]+")
_BEFORE = re.compile(
    rf"(?<!\w)((?:{_NAMES})[\"')\]]*\s*(?:=>|[=:])\s*[\[(]?\s*)(?!\(?secret\))"
    r"(b?\"(?:[^\"\\]|\\.)*\"|b?'(?:[^'\\]|\\.)*'|[^\s\"'&;,)}\]]+)",
    re.IGNORECASE,
)
_HEADER = re.compile(
    r"((?:proxy-)?authorization|(?:set-)?cookie|HTTP_(?:AUTHORIZATION|COOKIE))"
    r"([\"']?\s*[=:]\s*)[^\r\n]+",
    re.IGNORECASE,
)
_IN_ADDRESS = re.compile(r"(://[^\s:/@]*:)[^\s@/]+(?=@)")
_ROW = re.compile(r"((?:DETAIL|CONTEXT):)[^\r\n]*")
_HASHED = re.compile(r"\$?argon2\S+|pbkdf2_\S+")
_RUN = re.compile(r"(?<![\w-])[A-Za-z0-9_-]{30,}(?![\w-])")
_SESSION = re.compile(r"[a-z0-9]{32}")
_CONTROL = re.compile(
    "[\x00-\x1f\x7f-\x9f\u2028\u2029\u200e\u200f\u202a-\u202e\u2066-\u2069]"
)


class WithoutSecrets(logging.Filter):
    """Strike every secret from a record before it is written, and every false line.

    A page not found and an error both log their path; whoever reads that log could
    accept the client's offer. All of a record is gone through: its text, what it was
    given besides, its traceback and the stack.
    """

    def filter(self, record: logging.LogRecord) -> bool:
        """Keep the record, without what a log never says."""
        record.msg, record.args = one_line(without_secrets(record.getMessage())), ()
        if record.exc_info and not record.exc_text:
            record.exc_text = logging.Formatter().formatException(record.exc_info)
        if record.exc_text:
            record.exc_text = _set_in(without_secrets(record.exc_text))
        if record.stack_info:
            record.stack_info = _set_in(without_secrets(record.stack_info))
        for name in set(vars(record)) - _STANDARD:
            value = getattr(record, name)
            if not isinstance(value, int | None):
                setattr(record, name, one_line(without_secrets(str(value))))
        return True


class NotTooOften(logging.Filter):
    """Keep strangers from filling the security log with one event.

    Counted in each process for itself; the last line that is written says so.
    """

    def __init__(self) -> None:
        super().__init__()
        self._lock = Lock()
        self._began = 0.0
        self._seen: Counter[str] = Counter()

    def filter(self, record: logging.LogRecord) -> bool:
        """Leave out what came too often in this minute."""
        event = getattr(record, "event", "")
        if event not in FROM_ANYBODY:
            return True
        with self._lock:
            now = time.monotonic()
            if now - self._began >= MINUTE:
                self._began, self._seen = now, Counter()
            self._seen[event] += 1
            count = self._seen[event]
        if count == MOST_A_MINUTE:
            told = record.getMessage().removesuffix("}")
            record.msg = f'{told}, "more": "left out for up to a minute"}}'
            record.args = ()
        return count <= MOST_A_MINUTE


class InUtc(logging.Formatter):
    """A line with its time in UTC, wherever the server stands."""

    converter = staticmethod(time.gmtime)
    default_time_format = "%Y-%m-%dT%H:%M:%S"
    default_msec_format = "%s.%03dZ"


def one_line(text: object) -> str:
    """Return a text with every control character spelt out: nobody forges a line."""
    return _CONTROL.sub(lambda found: ascii(found[0])[1:-1], str(text))


def without_secrets(text: str) -> str:
    """Return a text with `(secret)` in place of what would open a door."""
    for secret in _known():
        text = text.replace(secret, INSTEAD)
    text = _PRIVATE.sub(rf"\1{INSTEAD}", text)
    text = _HEADER.sub(rf"\1\2{INSTEAD}", text)
    text = _IN_ADDRESS.sub(rf"\1{INSTEAD}", text)
    text = _ROW.sub(rf"\1 {INSTEAD}", text)
    text = _HASHED.sub(INSTEAD, text)
    text = _BEFORE.sub(rf"\1{INSTEAD}", text)
    return _RUN.sub(lambda found: INSTEAD if _is_token(found[0]) else found[0], text)


def shut_in_loggers_of_the_server() -> None:
    """Strike secrets from what the web server logs by itself, such as paths."""
    for name in ("gunicorn.error", "gunicorn.access"):
        logger = logging.getLogger(name)
        if not any(isinstance(one, WithoutSecrets) for one in logger.filters):
            logger.addFilter(WithoutSecrets())


def _set_in(text: str) -> str:
    """Return a traceback with its lines set in: none of them can pass for an entry."""
    return "\n".join(f"    {one_line(line)}" for line in text.split("\n"))


def _is_token(run: str) -> bool:
    """Return whether a long run looks made by chance: no name, no UUID."""
    if _SESSION.fullmatch(run):
        return any(one.isdigit() for one in run)
    turns = sum(_sort(one) != _sort(other) for one, other in pairwise(run))
    return turns * 3 >= len(run) and any(one.isupper() for one in run)


def _sort(one: str) -> str:
    return "A" if one.isupper() else "a" if one.islower() else "0"


def _known() -> tuple[str, ...]:
    """Return the secrets of this installation, the longest first."""
    found = {settings.SECRET_KEY, settings.EMAIL_HOST_PASSWORD}
    found |= {str(one.get("PASSWORD") or "") for one in settings.DATABASES.values()}
    broker = urlsplit(settings.REDIS_URL).password or ""
    found |= {broker, unquote(broker)}
    return tuple(sorted((one for one in found if len(one) >= 6), key=len, reverse=True))
