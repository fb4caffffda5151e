"""Addresses of the materials app: sign-in, people, price list, kept files."""

from __future__ import annotations

from django.urls import path

from materials.views import (
    files,
    outbox,
    own_sign_in,
    people,
    price_sheet,
    pricelist,
    proof,
    rack,
    second_factor,
    sign_in,
)

urlpatterns = [
    path("sign-in/", sign_in.SignIn.as_view(), name="sign-in"),
    path("sign-out/", sign_in.SignOut.as_view(), name="sign-out"),
    path("sign-in/second/", second_factor.second_step, name="second-step"),
    path("sign-in/again/", proof.prove, name="prove"),
    path("your-sign-in/app/", second_factor.add_app, name="add-app"),
    path("your-sign-in/passkey/", second_factor.add_passkey, name="add-passkey"),
    path("your-sign-in/codes/", second_factor.new_codes, name="new-codes"),
    path(
        "your-sign-in/remove/<int:pk>/",
        second_factor.remove_factor,
        name="remove-factor",
    ),
    path("your-sign-in/", own_sign_in.own_sign_in, name="own-sign-in"),
    path("your-sign-in/password/", own_sign_in.own_password, name="own-password"),
    path("your-sign-in/e-mail/", own_sign_in.own_address, name="own-address"),
    path("your-sign-in/end/", own_sign_in.end_sign_ins, name="end-sign-ins"),
    path("people/", people.people, name="people"),
    path("people/<int:pk>/", people.change_person, name="change-person"),
    path("price-list/", pricelist.price_list, name="price-list"),
    path("price-list/table/", price_sheet.price_sheet, name="price-sheet"),
    path(
        "price-list/table/<slug:form>/",
        price_sheet.price_table_out,
        name="price-table-out",
    ),
    path(
        "price-list/tables/<slug:digest>/",
        price_sheet.judged_sheet,
        name="judged-sheet",
    ),
    path("price-list/add/<slug:kind>/", pricelist.add_product, name="add-product"),
    path("price-list/<int:pk>/", pricelist.product, name="product"),
    path("price-list/<int:pk>/packs/", pricelist.add_pack, name="add-pack"),
    path("packs/<int:pk>/price/", pricelist.change_price, name="change-price"),
    path("rack/", rack.rack, name="rack"),
    path("rack/<uuid:uid>/release/", rack.release, name="release-offcut"),
    path("rack/add/", rack.add_piece, name="add-piece"),
    path("rack/count/", rack.count_rack, name="count-rack"),
    path("rack/rules/", rack.rack_rules, name="rack-rules"),
    path("rack/stale/", rack.write_off_stale, name="write-off-stale"),
    path("rack/<uuid:uid>/write-off/", rack.write_off, name="write-off"),
    path("merchants/", pricelist.suppliers, name="suppliers"),
    path("outbox/", outbox.outbox, name="outbox"),
    path("outbox/<uuid:uid>/<slug:act>/", outbox.decide, name="decide-outgoing"),
    path("kept/<slug:digest>/", files.kept_file, name="kept-file"),
]
