"""Quotes on the setter's side: list, page, offer, links, endings, paper."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from materials.core.errors import Refusal
from materials.core.limits import PAPERS
from materials.queries import mails_about
from materials.services import limits
from materials.services.keeping import file_bytes
from materials.views.access import OFFICE, OWNER, person_of, request_key, roles
from quotes import presenters, queries, services
from quotes.models import OfferLink, Quote, Revision
from quotes.presenters.estimates import notes_of
from quotes.presenters.offers import (
    newest,
    option_sheet,
    plans_drawn,
    set_outs_drawn,
    shown_to_client,
    stored_quote,
    surfaces_drawn,
)
from quotes.printing import offer_on_paper, revision_pdf
from quotes.services.offers import OFFER_PAPER


def quote_or_404(request: HttpRequest, number: str) -> Quote:
    """Return the quote the person may open."""
    row = queries.quote_for(person_of(request), number)
    if row is None:
        raise Http404
    return row


@roles(OWNER, OFFICE)
@require_safe
def quotes(request: HttpRequest) -> HttpResponseBase:
    """Show quotes, newest first."""
    page = queries.quote_page(
        person=person_of(request),
        state=request.GET.get("state", ""),
        number=request.GET.get("page", "1"),
    )
    return render(request, "quotes/quotes.html", {"page": page})


@roles(OWNER, OFFICE)
@require_safe
def quote(request: HttpRequest, number: str) -> HttpResponseBase:
    """Show a quote as the client reads it, its revisions, links and what comes next."""
    row = quote_or_404(request, number)
    revision = Revision.objects.get(pk=newest(row).pk)
    token = request.session.pop(f"link-{revision.pk}", "")
    shown = shown_to_client(revision)
    context = {
        "quote_row": row,
        "revision": revision,
        "revisions": row.revisions.all(),
        "shown": shown,
        "option": option_sheet(shown, shown.options[0]),
        "surfaces": surfaces_drawn(shown),
        "set_outs": set_outs_drawn(shown),
        "plans": plans_drawn(shown),
        "document": stored_quote(revision) if person_of(request).sees_margins else None,
        "links": revision.links.select_related("look").order_by("-pk"),
        "stages": presenters.stages(row.visit, person_of(request), "offer"),
        "address": request.build_absolute_uri(reverse("offer", args=[token]))
        if token
        else "",
        "letters": mails_about(
            person_of(request), paper=f"{OFFER_PAPER}:{revision.pk}"
        ),
        "notes": notes_of(row.visit, timezone.localdate())
        if revision.state == Revision.State.DRAFTING
        else (),
        "stale": revision.state == Revision.State.DRAFTING
        and (
            revision.visit_version != row.visit.version
            or revision.priced_on != timezone.localdate()
        ),
    }
    return render(request, "quotes/quote.html", context)


@roles(OWNER)
@require_POST
def act_on_quote(request: HttpRequest, number: str, act: str) -> HttpResponseBase:
    """Price again, offer, link, revise or withdraw."""
    row = quote_or_404(request, number)
    revision = Revision.objects.get(pk=newest(row).pk)
    acts = {
        "reprice": _reprice,
        "offer": _offer,
        "link": _link,
        "revise": _revise,
        "withdraw": _withdraw,
    }
    if act not in acts:
        raise Http404
    try:
        acts[act](request, revision)
    except Refusal as refusal:
        messages.error(request, refusal.sentence)
    return redirect("quote", number=number)


def _reprice(request: HttpRequest, revision: Revision) -> None:
    services.reprice_draft(revision=revision, on=timezone.localdate())
    messages.success(request, _("Priced at today's sizes and prices."))


def _offer(request: HttpRequest, revision: Revision) -> None:
    offer_on_paper(
        revision=revision, on=timezone.localdate(), person=person_of(request)
    )
    messages.success(request, _("Offered. Hand it over by link, on paper or here."))


def _link(request: HttpRequest, revision: Revision) -> None:
    _row, token = services.make_link(
        revision=revision,
        at=timezone.now(),
        person=person_of(request),
        key=request_key(request),
    )
    if token:
        request.session[f"link-{revision.pk}"] = token


def _revise(request: HttpRequest, revision: Revision) -> None:
    services.revise_quote(
        quote=revision.quote,
        on=timezone.localdate(),
        person=person_of(request),
        key=request_key(request),
    )


def _withdraw(request: HttpRequest, revision: Revision) -> None:
    services.withdraw_revision(
        revision=revision,
        words=request.POST.get("words", ""),
        at=timezone.now(),
        person=person_of(request),
    )


@roles(OWNER)
@require_POST
def revoke_link(request: HttpRequest, pk: int) -> HttpResponseBase:
    """End a private link at once."""
    link = get_object_or_404(OfferLink.objects.select_related("revision__quote"), pk=pk)
    services.revoke_link(link=link, at=timezone.now(), person=person_of(request))
    return redirect("quote", number=link.revision.quote.number)


@roles(OWNER, OFFICE)
@require_safe
def quote_paper(request: HttpRequest, number: str, letter: str) -> HttpResponseBase:
    """Hand out the paper: the kept one, or for a draft one made now."""
    revision = queries.revision_for(person_of(request), number=number, letter=letter)
    if revision is None:
        raise Http404
    try:
        return paper_response(request, revision)
    except Refusal as refusal:
        messages.error(request, refusal.sentence)
        return redirect("quote", number=number)


def paper_response(request: HttpRequest, revision: Revision) -> HttpResponse:
    """Return a revision's PDF, to be read in the browser.

    Raises: Refusal when the engine will not make it; TooOften.
    """
    if revision.pdf is None:
        limits.take(request, PAPERS)
    data = file_bytes(revision.pdf) if revision.pdf else revision_pdf(revision)
    name = f"{revision.quote.number}-{revision.letter}.pdf"
    response = HttpResponse(data, content_type="application/pdf")
    response.headers["Content-Disposition"] = f'inline; filename="{name}"'
    response.headers["Cache-Control"] = "private, no-store"
    return response
