"""Addresses of the quotes app: business, visits, quotes, the client's own page."""

from __future__ import annotations

from django.urls import path

from quotes.views import (
    buildups,
    business,
    client,
    cutting,
    first_guess,
    mailing,
    parties,
    pricing,
    quotes,
    set_outs,
    stairs,
    surfaces,
    visits,
)

urlpatterns = [
    path("business/", business.business, name="business"),
    path("clients/", parties.clients, name="clients"),
    path("visits/", visits.visits, name="visits"),
    path("visits/stairs/", stairs.stairs, name="stairs"),
    path("visits/guess/", first_guess.guess, name="first-guess"),
    path("visits/new/", visits.add_visit, name="add-visit"),
    path("visits/<uuid:uid>/", visits.visit, name="visit"),
    path("visits/<uuid:uid>/change/", visits.change_visit, name="change-visit"),
    path("visits/<uuid:uid>/copy/", visits.copy_visit, name="copy-visit"),
    path("visits/<uuid:uid>/changes/", visits.visit_changes, name="visit-changes"),
    path("visits/<uuid:uid>/file/", visits.visit_as_file, name="visit-file"),
    path("visits/<uuid:uid>/spaces/", visits.add_space, name="add-space"),
    path("visits/<uuid:uid>/photos/", visits.add_photo, name="add-photo"),
    path("visits/<uuid:uid>/build-ups/", buildups.build_ups, name="build-ups"),
    path("visits/<uuid:uid>/build-ups/<slug:key>/", buildups.build_up, name="build-up"),
    path("visits/<uuid:uid>/buy/", pricing.buy, name="buy"),
    path("visits/<uuid:uid>/cut-list/", cutting.cut_list, name="cut-list"),
    path(
        "visits/<uuid:uid>/cut-list.pdf", cutting.cut_list_paper, name="cut-list-paper"
    ),
    path("visits/<uuid:uid>/plans/", cutting.look_deeper, name="look-deeper"),
    path("visits/<uuid:uid>/price/", pricing.price, name="price"),
    path("visits/<uuid:uid>/price/<slug:kind>/", pricing.choice, name="choice"),
    path(
        "visits/<uuid:uid>/price/<slug:kind>/<int:pk>/remove/",
        pricing.remove_choice,
        name="remove-choice",
    ),
    path("visits/<uuid:uid>/quote/", pricing.make_quote, name="make-quote"),
    path("spaces/<uuid:uid>/", visits.space, name="space"),
    path("spaces/<uuid:uid>/surfaces/", surfaces.add_surface, name="add-surface"),
    path("spaces/<uuid:uid>/draw/", surfaces.draw, name="draw-surface"),
    path("surfaces/<uuid:uid>/", surfaces.surface, name="surface"),
    path("surfaces/<uuid:uid>/set-outs/", set_outs.set_outs, name="set-outs"),
    path("quotes/", quotes.quotes, name="quotes"),
    path("quotes/<slug:number>/", quotes.quote, name="quote"),
    path(
        "quotes/<slug:number>/<slug:letter>.pdf",
        quotes.quote_paper,
        name="quote-paper",
    ),
    path("quotes/<slug:number>/mail/", mailing.mail_quote, name="mail-quote"),
    path("quotes/<slug:number>/<slug:act>/", quotes.act_on_quote, name="act-on-quote"),
    path("links/<int:pk>/revoke/", quotes.revoke_link, name="revoke-link"),
    path("o/<str:token>/", client.offer, name="offer"),
    path("o/<str:token>/paper.pdf", client.offer_paper, name="offer-paper"),
    path("o/<str:token>/decline/", client.decline, name="decline-offer"),
]
