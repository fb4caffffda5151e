"""An invoice by mail: the letter is shown, then sent by one click, and not without."""

from __future__ import annotations

import uuid

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponseBase
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from jobs import services
from jobs.models import Invoice
from jobs.presenters.letters import INVOICE, REMINDER, invoice_letter
from jobs.views.asking import invoice_or_404, today, tried
from materials import queries as materials_queries
from materials.core.errors import Refusal
from materials.core.limits import LETTERS
from materials.forms.mail import MailForm
from materials.services import limits
from materials.views.access import OFFICE, OWNER, person_of, request_key, roles


@roles(OWNER, OFFICE)
@require_http_methods(["GET", "HEAD", "POST"])
def mail_invoice(request: HttpRequest, uid: uuid.UUID, kind: str) -> HttpResponseBase:
    """Write to the client: an invoice or credit note, or a reminder of one."""
    row, business = invoice_or_404(request, uid), materials_queries.business()
    if kind not in (INVOICE, REMINDER) or business is None:
        raise Http404
    row = Invoice.objects.select_related("job__client", "credits").get(pk=row.pk)
    form = MailForm(request.POST or None, initial={"to": row.job.client.email})
    try:
        if kind == REMINDER:
            services.check_reminder(row, on=today())
        letter = invoice_letter(row, business, typed=form.typed(), kind=kind)
    except Refusal as refusal:
        messages.error(request, refusal.sentence)
        return redirect("invoice", uid=uid)

    def act() -> object:
        limits.take(request, LETTERS)
        return services.mail_invoice(
            invoice=row,
            letter=letter,
            person=person_of(request),
            at=timezone.now(),
            key=request_key(request),
        )

    if request.method == "POST" and form.is_valid() and tried(form, act) is not None:
        messages.success(request, _("The letter is on its way."))
        return redirect("invoice", uid=uid)
    context = {
        "form": form,
        "letter": letter,
        "client": row.job.client,
        "back": reverse("invoice", args=[uid]),
        "enclosed": reverse("invoice-paper", args=[uid]),
        "text": letter.body,
    }
    return render(
        request, "post/letter.html", context, status=422 if form.errors else 200
    )
