"""Every address of the program, by app."""

from __future__ import annotations

from django.urls import include, path

from jobs.views.today import today

urlpatterns = [
    path("", today, name="today"),
    path("", include("materials.urls")),
    path("", include("quotes.urls")),
    path("", include("jobs.urls")),
]

handler400 = "gaugerod.refusals.bad_request"
handler403 = "gaugerod.refusals.forbidden"
