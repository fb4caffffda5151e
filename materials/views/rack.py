"""The rack's pages: pieces to scale, the stock-take, what is written off."""

from __future__ import annotations

import uuid

from django.contrib import messages
from django.http import HttpRequest, HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import (
    require_http_methods,
    require_POST,
    require_safe,
)

from materials import queries, services
from materials.core import amounts
from materials.core.errors import Refusal
from materials.forms.rack import PieceForm, RulesForm
from materials.models import Business, Offcut
from materials.presenters.rack import rack_sheet
from materials.views.access import (
    OWNER,
    form_status,
    person_of,
    request_key,
    roles,
    show_refusal,
)


@require_safe
def rack(request: HttpRequest) -> HttpResponseBase:
    """Show the pieces on the rack; their money only to those who see prices."""
    business = get_object_or_404(Business, pk=1)
    page = queries.rack_page(request.GET.get("page", "1"))
    context = {
        "page": page,
        "sheet": rack_sheet(
            list(page),
            business=business,
            person=person_of(request),
            on=timezone.localdate(),
        ),
        "rules": RulesForm(
            initial={
                "use": business.rack_use,
                "value": business.rack_value,
                "stale_days": business.rack_stale_days,
            }
        ),
    }
    return render(request, "materials/rack.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
def add_piece(request: HttpRequest) -> HttpResponseBase:
    """Put a piece on the rack by hand."""
    person = person_of(request)
    form = PieceForm(request.POST or None, person=person)
    if request.method == "POST" and form.is_valid():
        try:
            services.add_offcut(
                entry=form.entry(),
                on=timezone.localdate(),
                person=person,
                key=request_key(request),
            )
        except Refusal as refusal:
            show_refusal(form, refusal)
        else:
            messages.success(request, _("It is on the rack."))
            return redirect("rack")
    context = {"form": form}
    return render(
        request, "materials/add_piece.html", context, status=form_status(form)
    )


@require_POST
def count_rack(request: HttpRequest) -> HttpResponseBase:
    """Keep a stock-take: here, not found, or not looked for."""
    person = person_of(request)
    said: dict[str, list[uuid.UUID]] = {"here": [], "missing": []}
    for name, value in request.POST.items():
        if name.startswith("piece-") and value in said:
            try:
                said[value].append(uuid.UUID(name.removeprefix("piece-")))
            except ValueError:
                continue
    try:
        counted = services.count_rack(
            found=said["here"],
            missing=said["missing"],
            on=timezone.localdate(),
            person=person,
            key=request_key(request),
        )
    except Refusal as refusal:
        messages.error(request, refusal.sentence)
        return redirect("rack")
    sentence = _("%(found)d found, %(missing)d not found.") % {
        "found": counted.found,
        "missing": counted.missing,
    }
    if person.sees_prices and counted.missing:
        sentence += " " + _("They carried %(money)s.") % {
            "money": amounts.plain(counted.lost)
        }
    messages.success(request, sentence)
    return redirect("rack")


@roles(OWNER)
@require_POST
def write_off(request: HttpRequest, uid: uuid.UUID) -> HttpResponseBase:
    """Write one piece off, with its money and a reason."""
    row = get_object_or_404(Offcut, uid=uid)
    try:
        services.write_off(
            offcut=row,
            reason=request.POST.get("reason", ""),
            on=timezone.localdate(),
            person=person_of(request),
            key=request_key(request),
        )
    except Refusal as refusal:
        messages.error(request, refusal.sentence)
    else:
        messages.success(
            request,
            _("Written off: %(money)s.") % {"money": amounts.plain(row.cost_carried)},
        )
    return redirect("rack")


@roles(OWNER)
@require_POST
def release(request: HttpRequest, uid: uuid.UUID) -> HttpResponseBase:
    """Let go of a piece that a job has reserved."""
    row = get_object_or_404(Offcut, uid=uid)
    try:
        services.release_offcut(
            offcut=row, person=person_of(request), key=request_key(request)
        )
    except Refusal as refusal:
        messages.error(request, refusal.sentence)
    else:
        messages.success(
            request, _("%(mark)s is free for any job again.") % {"mark": row.mark}
        )
    return redirect("rack")


@roles(OWNER)
@require_POST
def write_off_stale(request: HttpRequest) -> HttpResponseBase:
    """Write off every piece that was kept too long."""
    try:
        number, money = services.write_off_stale(
            on=timezone.localdate(),
            person=person_of(request),
            key=request_key(request),
        )
    except Refusal as refusal:
        messages.error(request, refusal.sentence)
    else:
        messages.success(
            request,
            _("%(number)d written off: %(money)s.")
            % {"number": number, "money": amounts.plain(money)},
        )
    return redirect("rack")


@roles(OWNER)
@require_POST
def rack_rules(request: HttpRequest) -> HttpResponseBase:
    """Set the rules of the rack."""
    form = RulesForm(request.POST)
    if form.is_valid():
        try:
            services.set_rack_rules(person=person_of(request), **form.cleaned_data)
        except Refusal as refusal:
            messages.error(request, refusal.sentence)
        else:
            messages.success(request, _("Saved."))
    else:
        for field, errors in form.errors.items():
            messages.error(request, f"{form.fields[field].label}: {errors[0]}")
    return redirect("rack")
