"""The outbox: what waits, what nobody knows, and what a person decides about it."""

from __future__ import annotations

import uuid
from collections.abc import Callable

from django.conf import settings
from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponseBase
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from materials import queries, services
from materials.core.errors import Refusal
from materials.models import Outgoing
from materials.views.access import OFFICE, OWNER, person_of, request_key, roles

SHOWN = 100


@roles(OWNER, OFFICE)
@require_safe
def outbox(request: HttpRequest) -> HttpResponseBase:
    """Show what needs a person, what still waits, and what was sent."""
    person = person_of(request)
    context = {
        "undecided": queries.outgoing_undecided(person)[:SHOWN],
        "owed": queries.outgoing_owed(person)[:SHOWN],
        "page": queries.outgoing_page(
            person=person, number=request.GET.get("page", "1")
        ),
        "into_files": "smtp" not in settings.EMAIL_BACKEND,
        "now": timezone.now(),
    }
    return render(request, "post/outbox.html", context)


@roles(OWNER, OFFICE)
@require_POST
def decide(request: HttpRequest, uid: uuid.UUID, act: str) -> HttpResponseBase:
    """Send again, or give up."""
    row = queries.outgoing_for(person_of(request), str(uid))
    acts: dict[str, tuple[Callable[..., Outgoing], str]] = {
        "again": (services.send_again, _("It is tried again now.")),
        "give-up": (services.give_up, _("Given up; nothing more is sent.")),
    }
    if row is None or act not in acts:
        raise Http404
    decision, said = acts[act]
    try:
        decision(
            row=row,
            person=person_of(request),
            at=timezone.now(),
            key=request_key(request),
        )
    except Refusal as refusal:
        messages.error(request, refusal.sentence)
    else:
        messages.success(request, said)
    return redirect("outbox")
