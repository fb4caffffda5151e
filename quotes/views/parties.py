"""Clients and their visits."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponseBase
from django.shortcuts import render
from django.views.decorators.http import require_safe

from materials.views.access import OFFICE, OWNER, roles
from quotes import queries


@roles(OWNER, OFFICE)
@require_safe
def clients(request: HttpRequest) -> HttpResponseBase:
    """Show clients by name, with their visits."""
    page = queries.client_page(number=request.GET.get("page", "1"))
    return render(request, "quotes/clients.html", {"page": page})
