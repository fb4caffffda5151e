"""A quote by mail: the letter is shown, then sent by one click, and not without."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponseBase
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from materials import queries as materials_queries
from materials.core.errors import Refusal
from materials.core.limits import LETTERS
from materials.forms.mail import MailForm
from materials.models import Business
from materials.services import Letter, limits
from materials.services.outbox import TOKEN_MARK
from materials.views.access import (
    OFFICE,
    OWNER,
    person_of,
    request_key,
    roles,
    show_refusal,
)
from quotes import services
from quotes.models import Acceptance, Revision
from quotes.presenters.letters import offer_letter, receipt_letter
from quotes.presenters.offers import newest
from quotes.views.quotes import quote_or_404


@roles(OWNER, OFFICE)
@require_http_methods(["GET", "HEAD", "POST"])
def mail_quote(request: HttpRequest, number: str) -> HttpResponseBase:
    """Write to the client: an offer with its link, or the receipt of an acceptance."""
    row, business = quote_or_404(request, number), materials_queries.business()
    revision = Revision.objects.select_related("quote__visit__site__client").get(
        pk=newest(row).pk
    )
    if business is None or revision.state not in ("offered", "accepted"):
        messages.error(request, _("Offer the quote first; then it can be mailed."))
        return redirect("quote", number=number)
    client = revision.quote.visit.site.client
    form = MailForm(request.POST or None, initial={"to": client.email})
    letter = _letter(request, revision, business, form)
    if request.method == "POST" and form.is_valid():
        limits.take(request, LETTERS)
        try:
            services.mail_quote(
                revision=revision,
                letter=letter,
                person=person_of(request),
                at=timezone.now(),
                key=request_key(request),
            )
        except Refusal as refusal:
            show_refusal(form, refusal)
        else:
            messages.success(request, _("The letter is on its way."))
            return redirect("quote", number=number)
    context = {
        "form": form,
        "letter": letter,
        "client": client,
        "back": reverse("quote", args=[number]),
        "enclosed": reverse("quote-paper", args=[number, revision.letter]),
        "text": letter.body.replace(TOKEN_MARK, "…"),
    }
    return render(
        request, "post/letter.html", context, status=422 if form.errors else 200
    )


def _letter(
    request: HttpRequest, revision: Revision, business: Business, form: MailForm
) -> Letter:
    if revision.state == Revision.State.ACCEPTED:
        acceptance = Acceptance.objects.select_related(
            "revision__quote__visit__site__client"
        ).get(revision=revision)
        return receipt_letter(acceptance, business, typed=form.typed())
    address = request.build_absolute_uri(reverse("offer", args=[TOKEN_MARK]))
    return offer_letter(revision, business, typed=form.typed(), address=address)
