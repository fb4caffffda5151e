"""What must be bought, what it comes to, and the owner's last word."""

from __future__ import annotations

import uuid

from django.contrib import messages
from django.forms import Form
from django.http import Http404, HttpRequest, HttpResponseBase
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext_lazy as _
from django.views.decorators.http import (
    require_http_methods,
    require_POST,
    require_safe,
)

from materials.core.errors import Refusal
from materials.views.access import (
    OWNER,
    form_status,
    person_of,
    request_key,
    roles,
    show_refusal,
)
from quotes import services
from quotes.forms.pricing import (
    AllowanceForm,
    HandLineForm,
    LabourForm,
    OverruleForm,
    TermsForm,
    terms_values,
)
from quotes.models import Allowance, HandLine, Overrule, Visit
from quotes.presenters import stages
from quotes.presenters.estimates import LineRow, estimate_sheet
from quotes.presenters.hand_made import hand_made
from quotes.presenters.searches import quotes_before_search, search_note
from quotes.views.visits import posted_version, visit_or_404


@require_safe
def buy(request: HttpRequest, uid: uuid.UUID) -> HttpResponseBase:
    """Show what must be bought, each line with its working and drawing."""
    visit = visit_or_404(request, uid)
    sheet = estimate_sheet(visit, timezone.localdate())
    context = {
        "visit": visit,
        "stages": stages(visit, person_of(request), "buy"),
        "sheet": sheet,
        "search": search_note(sheet.boards),
    }
    return render(request, "quotes/buy.html", context)


@roles(OWNER)
@require_safe
def price(request: HttpRequest, uid: uuid.UUID) -> HttpResponseBase:
    """Show cost, price and margin with their working; the owner's forms below."""
    visit = visit_or_404(request, uid)
    sheet = estimate_sheet(visit, timezone.localdate())
    context = {
        "visit": visit,
        "stages": stages(visit, person_of(request), "price"),
        "sheet": sheet,
        "search": search_note(sheet.boards),
        "bettered": quotes_before_search(visit, sheet.boards),
        "hand_made": hand_made(visit, sheet),
        "quotes": visit.quotes.all(),
    }
    return render(request, "quotes/price.html", context)


FORMS = {
    "hand-line": (HandLineForm, _("A line typed by hand")),
    "allowance": (AllowanceForm, _("A sum set aside")),
    "overrule": (OverruleForm, _("Your figure instead")),
    "labour": (LabourForm, _("An operation added")),
    "terms": (TermsForm, _("What the offer says")),
}


@roles(OWNER)
@require_http_methods(["GET", "HEAD", "POST"])
def choice(request: HttpRequest, uid: uuid.UUID, kind: str) -> HttpResponseBase:
    """Add a line, a sum, an overrule, an operation, or set the terms."""
    visit = visit_or_404(request, uid)
    if kind not in FORMS:
        raise Http404
    form_class, title = FORMS[kind]
    first = terms_values(visit) if kind == "terms" else request.GET.dict()
    more = {"system": visit.system} if kind == "labour" else {}
    form = form_class(request.POST or None, initial=first, **more)
    if request.method == "POST" and form.is_valid():
        try:
            _keep(request, uid, kind, form)
        except Refusal as refusal:
            show_refusal(form, refusal)
        else:
            return redirect("price", uid=visit.uid)
    context = {"visit": visit, "form": form, "title": title, "kind": kind}
    if kind == "overrule":
        context["line"] = _line_of(visit, str(form["line"].value() or ""))
    return render(request, "quotes/choice.html", context, status=form_status(form))


def _line_of(visit: Visit, key: str) -> LineRow | None:
    """Return the line whose figure is about to be replaced, to be read beside it."""
    sheet = estimate_sheet(visit, timezone.localdate())
    rows = (row for part in sheet.classes for row in part.lines)
    return next((row for row in rows if row.key == key), None)


def _keep(
    request: HttpRequest,
    uid: uuid.UUID,
    kind: str,
    form: Form,
) -> None:
    visit, person = visit_or_404(request, uid), person_of(request)
    entry = form.cleaned_data
    if kind == "hand-line":
        services.add_hand_line(
            visit=visit,
            entry=services.HandLineEntry(**entry),
            person=person,
            key=request_key(request),
        )
    elif kind == "allowance":
        services.add_allowance(
            visit=visit, person=person, key=request_key(request), **entry
        )
    elif kind == "overrule":
        services.overrule(
            visit=visit,
            entry=services.OverruleEntry(**entry),
            on=timezone.localdate(),
            person=person,
        )
    elif isinstance(form, TermsForm):
        services.save_terms(
            visit=visit, terms=form.terms(), labour=visit.facts.get("labour", [])
        )
    else:
        services.add_labour(
            visit=visit, person=person, key=request_key(request), **entry
        )


@roles(OWNER)
@require_POST
def remove_choice(
    request: HttpRequest, uid: uuid.UUID, kind: str, pk: int
) -> HttpResponseBase:
    """Take back a hand-typed line, a sum set aside or an overrule."""
    visit = visit_or_404(request, uid)
    if kind == "labour":
        try:
            services.remove_labour(
                visit=visit,
                place=pk,
                version=posted_version(request),
                person=person_of(request),
            )
        except Refusal as refusal:
            messages.error(request, refusal.sentence)
        return redirect("price", uid=visit.uid)
    models: dict[str, type[HandLine | Allowance | Overrule]] = {
        "hand-line": HandLine,
        "allowance": Allowance,
        "overrule": Overrule,
    }
    if kind not in models:
        raise Http404
    row = models[kind].objects.filter(pk=pk, visit=visit).first()
    if not isinstance(row, (HandLine, Allowance, Overrule)):
        raise Http404
    services.remove_choice(choice=row, person=person_of(request))
    return redirect("price", uid=visit.uid)


@roles(OWNER)
@require_POST
def make_quote(request: HttpRequest, uid: uuid.UUID) -> HttpResponseBase:
    """Make a quote of the visit, as a draft to look at."""
    visit = visit_or_404(request, uid)
    try:
        quote = services.make_quote(
            visit=visit,
            on=timezone.localdate(),
            person=person_of(request),
            key=request_key(request),
        )
    except Refusal as refusal:
        messages.error(request, refusal.sentence)
        return redirect("price", uid=visit.uid)
    return redirect("quote", number=quote.number)
