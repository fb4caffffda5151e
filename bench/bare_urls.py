"""The project's addresses and one bare page beside them, to compare with.

The bare page is what Django itself costs with this project's middleware: one query of
twenty rows, one template.
"""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.template import engines
from django.urls import include, path

from materials.models import Supplier

PAGE = engines["django"].from_string(
    "<!doctype html><title>Bare</title><ul>{% for row in rows %}"
    "<li>{{ row.name }}</li>{% endfor %}</ul>"
)


def bare(request: HttpRequest) -> HttpResponse:
    """Show twenty rows by one query and one small template."""
    return HttpResponse(PAGE.render({"rows": Supplier.objects.all()[:20]}, request))


urlpatterns = [path("bare/", bare, name="bare"), path("", include("gaugerod.urls"))]
