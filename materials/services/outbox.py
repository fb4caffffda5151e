"""The outbox: promises of mail and papers, who works on which, and how each ends.

A promise is a row, written in the transaction of what it announces. The queue only
rings: whoever hears it, or sweeps, claims the row, and only one can. A worker that
dies leaves its claim to run out.
"""

from __future__ import annotations

import logging
import uuid
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from functools import partial

from celery import current_app
from django.conf import settings
from django.core.exceptions import ValidationError
from django.core.validators import validate_email
from django.db import transaction
from django.utils.translation import gettext as _
from kombu.exceptions import OperationalError

from materials.core import outgoing
from materials.core.errors import Refusal
from materials.models import Outgoing, Person
from materials.services import seeds
from materials.services.keeping import audit, once

logger = logging.getLogger(__name__)

CARRY = "materials.carry"
"""The task that hears the bell; its argument is the row's primary key."""
TOKEN_MARK = "token-is-set-in-when-sent"  # noqa: S105 - a mark, not a token
PAPER_GRACE = timedelta(minutes=1)
"""Whoever asked for a paper makes it at once; if they die of it, this much later."""

State = Outgoing.State
OPEN = (State.WAITING, State.UNKNOWN, State.FAILED)
"""What a person may still decide about."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Letter:
    """A letter as written: to one address, about one document, which it encloses."""

    recipient: str
    subject: str
    body: str
    paper: str
    about: str
    title: str
    page: str
    seed: str = ""


def one_address(text: str) -> str:
    """Return an e-mail address, checked to be one and no more than one.

    Raises: Refusal otherwise.
    """
    address = text.strip()
    try:
        validate_email(address)
    except ValidationError:
        raise Refusal(
            _("“%(text)s” is not one e-mail address; write it as name@example.org.")
            % {"text": address[:80]},
            field="to",
        ) from None
    return address


def owe_mail(*, letter: Letter, person: Person, at: datetime, name: str) -> Outgoing:
    """Promise a letter inside the transaction of what it announces, and ring.

    `name` is the promise's own: the caller's request key tells repeats apart.

    Raises: Refusal unless it goes to exactly one address.
    """
    _inside_a_transaction()
    row = Outgoing.objects.create(
        key=f"mail:{name}",
        kind=Outgoing.Kind.MAIL,
        recipient=one_address(letter.recipient),
        subject=" ".join(letter.subject.split())[:200],
        body=letter.body,
        paper=letter.paper,
        about=letter.about[:60],
        title=letter.title[:80],
        page=letter.page,
        seed=letter.seed,
        due_at=at,
        made_at=at,
        made_by=person,
    )
    audit(
        action="owe mail",
        subject=f"mail {row.uid}",
        person=person,
        facts={"about": row.about, "to": row.recipient},
    )
    ring(row)
    return row


def owe_paper(*, paper: str, about: str, title: str, person: Person | None) -> Outgoing:
    """Promise a paper inside the transaction of what it shows; promised once.

    Nobody rings: whoever asked makes it in the same request. The promise stands for
    the case that they do not come so far.
    """
    _inside_a_transaction()
    at = datetime.now(UTC)
    row, _new = Outgoing.objects.get_or_create(
        key=f"paper:{paper}",
        defaults={
            "kind": Outgoing.Kind.PAPER,
            "paper": paper,
            "about": about[:60],
            "title": title[:80],
            "due_at": at + PAPER_GRACE,
            "made_at": at,
            "made_by": person,
        },
    )
    return row


def _inside_a_transaction() -> None:
    if not transaction.get_connection().in_atomic_block:
        raise RuntimeError("A promise belongs inside the transaction it announces.")


def ring(row: Outgoing) -> None:
    """Wake a worker once the transaction is through; without a broker, do it here.

    A broker that is away costs nothing but time: the sweeper finds the row.
    """
    transaction.on_commit(partial(_ring, row.pk), robust=True)


def _ring(pk: int) -> None:
    try:
        current_app.tasks[CARRY].apply_async((pk,), retry=False)
    except (OperationalError, OSError) as error:
        logger.warning("The queue is away (%s); the sweeper will send it.", error)


@transaction.atomic
def claim(*, pk: int, at: datetime) -> Outgoing | None:
    """Take a row to work on it, or None when it is not due or somebody has it.

    A row whose worker died is taken over; where the letter may have gone already, it
    is sent once more, then left to a person.
    """
    row = Outgoing.objects.select_for_update(of=("self",)).filter(pk=pk).first()
    if row is None or row.state not in (State.WAITING, State.WORKING):
        return None
    if row.due_at > at:
        return None
    if row.state == State.WORKING and row.handing_over:
        row.unsure += 1
        if not outgoing.goes_again(row.unsure):
            _rest(row, State.UNKNOWN, _("Sending it broke off twice."), at)
            return None
    if row.attempts >= outgoing.MOST_ATTEMPTS:
        _rest(row, State.FAILED, _("It was begun many times and never ended."), at)
        return None
    row.state, row.claim, row.handing_over = State.WORKING, uuid.uuid4(), False
    row.attempts += 1
    row.due_at = at + timedelta(seconds=settings.OUTBOX_LEASE)
    row.save()
    return row


def hand_over(row: Outgoing) -> bool:
    """Note that from here on the letter may be gone; False when the claim ran out."""
    mine = Outgoing.objects.filter(pk=row.pk, claim=row.claim)
    return mine.update(handing_over=True) == 1


def settle(row: Outgoing, *, at: datetime) -> None:
    """Note that a row is done; what could make its private link again is forgotten."""
    mine = Outgoing.objects.filter(pk=row.pk, claim=row.claim)
    settled = mine.update(
        state=State.DONE,
        claim=None,
        handing_over=False,
        seed="",
        why="",
        settled_at=at,
    )
    if not settled:
        logger.warning("%s ended after its claim had run out.", row.uid)


@transaction.atomic
def put_back(
    row: Outgoing,
    *,
    why: str,
    at: datetime,
    may_have_gone: bool = False,
    for_good: bool = False,
) -> None:
    """Note that a try failed: for later, or for a person when trying is no use."""
    mine = (
        Outgoing.objects.select_for_update(of=("self",))
        .filter(pk=row.pk, claim=row.claim)
        .first()
    )
    if mine is None:
        return
    mine.unsure += 1 if may_have_gone else 0
    pause = outgoing.pause_after(mine.attempts)
    if may_have_gone and not outgoing.goes_again(mine.unsure):
        _rest(mine, State.UNKNOWN, why, at)
    elif for_good or pause is None:
        _rest(mine, State.UNKNOWN if mine.unsure else State.FAILED, why, at)
    else:
        mine.due_at = at + pause
        _rest(mine, State.WAITING, why, at)


def _rest(row: Outgoing, state: str, why: str, at: datetime) -> None:
    """Put a claim down in some state."""
    row.state, row.why = state, why[:300]
    row.claim, row.handing_over = None, False
    if state != State.WAITING:
        row.settled_at = at
    row.save()


@transaction.atomic
def lay_aside_foreign(*, at: datetime) -> int:
    """Hand to a person the letters whose private link this key cannot make.

    For a business that was restored under another signing key. Return how many; one
    that may have gone before stays unknown, for its link would still open.
    """
    rows = Outgoing.objects.select_for_update(of=("self",)).exclude(seed="")
    foreign = [
        row
        for row in rows.filter(state__in=(*OPEN, State.WORKING))
        if not seeds.is_ours(row.seed)
    ]
    for row in foreign:
        gone = row.state == State.UNKNOWN or row.handing_over or row.unsure
        state = State.UNKNOWN if gone else State.FAILED
        _rest(row, state, seeds.why_not_ours(), at)
    return len(foreign)


@transaction.atomic
def send_again(*, row: Outgoing, person: Person, at: datetime, key: str) -> Outgoing:
    """Try again what is unknown or failed: the person has decided that it should go.

    Raises: Refusal for anything that goes on by itself, or was settled, and for a
    letter whose private link this signing key cannot make.
    """
    taken = once(key=key, purpose="send again", person=person, payload={"pk": row.pk})
    mine = Outgoing.objects.select_for_update(of=("self",)).get(pk=row.pk)
    if taken.outcome:
        return mine
    if mine.seed and not seeds.is_ours(mine.seed):
        raise Refusal(seeds.why_not_ours())
    _decided(mine, person, "send again", (State.UNKNOWN, State.FAILED))
    mine.state, mine.attempts, mine.unsure = State.WAITING, 0, 0
    mine.why, mine.due_at, mine.settled_at = "", at, None
    mine.save()
    ring(mine)
    taken.settle(mine.pk)
    return mine


@transaction.atomic
def give_up(*, row: Outgoing, person: Person, at: datetime, key: str) -> Outgoing:
    """Let it be: the person has decided that it went, or need not go.

    Raises: Refusal for anything that was settled or is being sent at this moment.
    """
    taken = once(key=key, purpose="give up", person=person, payload={"pk": row.pk})
    mine = Outgoing.objects.select_for_update(of=("self",)).get(pk=row.pk)
    if taken.outcome:
        return mine
    _decided(mine, person, "give up", OPEN)
    mine.state, mine.seed, mine.settled_at = State.GIVEN_UP, "", at
    mine.save()
    taken.settle(mine.pk)
    return mine


def _decided(
    row: Outgoing, person: Person, action: str, open_to: tuple[str, ...]
) -> None:
    """Refuse a decision about what goes on by itself; write down any other."""
    if row.state not in open_to:
        raise Refusal(
            _("“%(title)s” is %(state)s by now; there is nothing to decide.")
            % {"title": row.title, "state": row.get_state_display()}
        )
    audit(
        action=action,
        subject=f"mail {row.uid}",
        person=person,
        facts={"about": row.about, "state": row.state},
    )
