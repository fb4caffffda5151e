"""The client's own page behind a private link: read, accept, decline. Nothing else.

Looking changes nothing but the count of looks; saying yes or no is a POST with the
digest of what was shown. The answers to an unknown, ended or revoked link are alike.
"""

from __future__ import annotations

from django.contrib.auth.decorators import login_not_required
from django.http import Http404, HttpRequest, HttpResponseBase
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from materials.core.errors import Refusal
from materials.services import limits
from materials.services.security import note
from quotes import queries, services
from quotes.models import Acceptance, OfferLink, Revision
from quotes.presenters.offers import (
    option_sheet,
    plans_drawn,
    set_outs_drawn,
    shown_to_client,
    surfaces_drawn,
)
from quotes.views.quotes import paper_response

AHEAD = ("Sec-Purpose", "Purpose", "X-Purpose", "X-Moz")
"""Headers by which a browser says that it fetches what nobody has opened yet."""


def link_or_404(request: HttpRequest, token: str) -> OfferLink:
    """Return the live link of a token; the log tells which one ended, if any did.

    Raises: TooOften for an address that met too many that opened nothing.
    """
    limits.look_before_a_link(request)
    link = queries.link_of_token(token, at=timezone.now())
    if link is None:
        limits.count_a_dead_link(request)
        ended = queries.ended_link(token)
        note("link not open", request, link=ended.pk if ended else "unknown")
        raise Http404
    return link


def offer_page(
    request: HttpRequest, link: OfferLink, token: str, *, refused: str = ""
) -> HttpResponseBase:
    """Show an offer to the client."""
    revision = link.revision
    shown = shown_to_client(revision)
    context = {
        "shown": shown,
        "option": option_sheet(shown, shown.options[0]),
        "surfaces": surfaces_drawn(shown),
        "set_outs": set_outs_drawn(shown),
        "plans": plans_drawn(shown),
        "revision": revision,
        "acceptance": Acceptance.objects.filter(revision=revision).first(),
        "token": token,
        "open": revision.state == Revision.State.OFFERED
        and (
            revision.holds_until is None or timezone.localdate() <= revision.holds_until
        ),
        "refused": refused,
        "typed_name": request.POST.get("typed_name", ""),
    }
    status = 422 if refused else 200
    return render(request, "quotes/offer.html", context, status=status)


@login_not_required
@require_safe
def offer(request: HttpRequest, token: str) -> HttpResponseBase:
    """Show the offer behind a private link, and count that a client looked."""
    link = link_or_404(request, token)
    if _is_a_look(request):
        services.note_look(link, at=timezone.now())
    return offer_page(request, link, token)


def _is_a_look(request: HttpRequest) -> bool:
    """Return whether a client opens a page: nobody of ours, and no program ahead."""
    said = " ".join(request.headers.get(name, "") for name in AHEAD).lower()
    return (
        request.method == "GET"
        and not request.user.is_authenticated
        and "prefetch" not in said
        and "preview" not in said
    )


@login_not_required
@require_safe
def offer_paper(request: HttpRequest, token: str) -> HttpResponseBase:
    """Hand the offer's paper to the client."""
    link = link_or_404(request, token)
    try:
        return paper_response(request, link.revision)
    except Refusal as refusal:
        return offer_page(request, link, token, refused=refusal.sentence)


@login_not_required
@require_POST
def decline(request: HttpRequest, token: str) -> HttpResponseBase:
    """Keep the client's no with their word for it."""
    link = link_or_404(request, token)
    try:
        services.decline_revision(
            revision=link.revision,
            words=request.POST.get("words", ""),
            at=timezone.now(),
        )
    except Refusal as refusal:
        return offer_page(request, link, token, refused=refusal.sentence)
    return redirect("offer", token=token)
