"""How often a client looks at an offer behind a private link."""

from __future__ import annotations

import logging
from datetime import datetime, timedelta

from django.db import DatabaseError, transaction
from django.db.models import F

from quotes.models import LinkLook, OfferLink

EVERY = timedelta(minutes=1)
"""Looks within it are one: a page called up again writes nothing."""

logger = logging.getLogger(__name__)


def note_look(link: OfferLink, *, at: datetime) -> None:
    """Count a client's look at a link, unless one was counted just now.

    Where it cannot be kept, as on a full disk, the client reads the offer all the same.
    """
    look: LinkLook | None = getattr(link, "look", None)
    if look is not None and at < look.last_at + EVERY:
        return
    try:
        with transaction.atomic():
            row, fresh = LinkLook.objects.get_or_create(
                link=link, defaults={"first_at": at, "last_at": at}
            )
            if not fresh:
                # Of two at once one counts.
                LinkLook.objects.filter(pk=row.pk, last_at__lte=at - EVERY).update(
                    last_at=at, times=F("times") + 1
                )
    except DatabaseError:
        logger.exception("A look at a private link could not be counted.")
