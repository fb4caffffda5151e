"""What workers do: the papers, letters and searches that the outbox owes.

Each task may run any number of times: the row's claim decides who works on it. A
worker killed at any point leaves a row that is taken over once its claim ran out.
"""

from __future__ import annotations

import logging
import time

from celery import shared_task
from django.utils import timezone
from django.utils.translation import gettext as _

from materials import queries
from materials.core import outgoing
from materials.core.errors import Refusal
from materials.models import Outgoing, StoredFile
from materials.printing.papers import kept_paper
from materials.services import outbox, post, searches

logger = logging.getLogger(__name__)

SWEEP_SECONDS = 45
"""How long one sweep goes on; the next one comes a minute after it began."""


@shared_task(name=outbox.CARRY)  # type: ignore[untyped-decorator]  # celery: no types
def carry(pk: int) -> bool:
    """Do one paper, letter or search; return whether it is done now."""
    row = outbox.claim(pk=pk, at=timezone.now())
    if row is None:
        return False
    try:
        _do(row)
    except post.NotSent as error:
        outbox.put_back(
            row,
            why=error.why,
            at=timezone.now(),
            may_have_gone=error.may_have_gone,
            for_good=error.for_good,
        )
    except Refusal as refusal:
        outbox.put_back(
            row,
            why=refusal.sentence,
            at=timezone.now(),
            for_good=row.attempts >= outgoing.MOST_REFUSALS,
        )
    # A fault of ours in one letter must not keep the others waiting.
    except Exception as error:
        logger.exception("%s of the outbox failed.", row.uid)
        why = _("A fault in the program: %(name)s; the server's log says more.")
        outbox.put_back(
            row, why=why % {"name": type(error).__name__}, at=timezone.now()
        )
    else:
        return True
    return False


def _do(row: Outgoing) -> None:
    if row.kind == Outgoing.Kind.SEARCH:
        searches.run_search(row.paper)
        outbox.settle(row, at=timezone.now())
        return
    enclosed = kept_paper(row.paper) if row.paper else None
    if row.kind == Outgoing.Kind.MAIL:
        _send(row, enclosed)
    else:
        outbox.settle(row, at=timezone.now())


def _send(row: Outgoing, enclosed: StoredFile | None) -> None:
    message = post.message_of(row, queries.business(), enclosed)
    line = post.open_line()
    try:
        if outbox.hand_over(row):
            post.send(line, message)
            outbox.settle(row, at=timezone.now())
    finally:
        post.hang_up(line)


@shared_task(name="materials.sweep")  # type: ignore[untyped-decorator]  # as above
def sweep() -> int:
    """Do all that is due, oldest first, for most of a minute; return how many ended."""
    ends = time.monotonic() + SWEEP_SECONDS
    done = 0
    while time.monotonic() < ends:
        due = queries.outgoing_due(at=timezone.now())
        if not due:
            break
        for pk in due:
            done += carry(pk)
            if time.monotonic() >= ends:
                break
    return done
