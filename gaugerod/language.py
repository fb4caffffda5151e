"""Every page speaks the business's language, on its clock: no page mixes two.

The business is read once a request, before anything else that asks the database; its
language and time zone hold until the answer is made, papers made on the way included.
Pages find the row in their context as `business` and need not read it again.

A command has no request: it speaks the source language, British trade English, on the
server's clock. What it must say as the business does, it says inside `speaking_as`.
"""

from __future__ import annotations

import logging
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import tzinfo
from zoneinfo import ZoneInfo

from django.conf import settings
from django.http import HttpRequest, HttpResponseBase
from django.utils import timezone, translation

from materials import queries
from materials.models import Business

logger = logging.getLogger(__name__)

_ON_REQUEST = "the_business"

Answer = Callable[[HttpRequest], HttpResponseBase]


def speak_as_the_business(get_response: Answer) -> Answer:
    """Return the middleware that answers in the business's language and time zone."""

    def answer(request: HttpRequest) -> HttpResponseBase:
        business = queries.business()
        setattr(request, _ON_REQUEST, business)
        with speaking_as(business):
            return get_response(request)

    return answer


def the_business(request: HttpRequest) -> dict[str, Business]:
    """Hand the business of this request to the page; nothing before it is set up."""
    business = getattr(request, _ON_REQUEST, None)
    return {} if business is None else {"business": business}


@contextmanager
def speaking_as(business: Business | None) -> Iterator[None]:
    """Speak a business's language on its clock; before set-up, the source language."""
    language = settings.LANGUAGE_CODE if business is None else _language_of(business)
    zone = None if business is None else _zone_of(business)
    with translation.override(language), timezone.override(zone):
        yield


def _language_of(business: Business) -> str:
    """Return the language to speak; one without a catalogue is the source language."""
    known = dict(settings.LANGUAGES)
    return business.language if business.language in known else settings.LANGUAGE_CODE


def _zone_of(business: Business) -> tzinfo | None:
    """Return the business's zone; None, the server's own, when its name is unknown.

    A wrong name must not close every page, or nobody could put it right.
    """
    try:
        return ZoneInfo(business.time_zone)
    except (KeyError, ValueError, OSError):
        logger.error("“%s” is no time zone; using the server's.", business.time_zone)
        return None
