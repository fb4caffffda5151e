"""The price list's pages."""

from __future__ import annotations

from fractions import Fraction

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import get_language
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from materials import presenters, queries, services
from materials.core.errors import OutOfRange, Refusal
from materials.core.kind import Kind, read_facts
from materials.core.kinds import kind_of
from materials.forms.pricelist import (
    PackForm,
    PriceForm,
    ProductForm,
    SupplierForm,
    typed_facts,
)
from materials.models import Material, Pack
from materials.services.pricelist import PackEntry, PriceEntry
from materials.views.access import (
    OFFICE,
    OWNER,
    form_status,
    person_of,
    request_key,
    roles,
    show_refusal,
)


@roles(OWNER, OFFICE)
@require_safe
def price_list(request: HttpRequest) -> HttpResponseBase:
    """Show the price list, twenty products a page."""
    words = request.GET.get("words", "")[:80]
    kind, language = request.GET.get("kind", "")[:40], get_language()
    page = queries.material_page(
        words=words, kind=kind, number=request.GET.get("page", "1")
    )
    context = {
        "words": words,
        "kind": kind,
        "page": page,
        "query": presenters.query_of(words=words, kind=kind),
        "rows": presenters.products_shown(page, language),
        "kind_words": presenters.kind_words(language),
        "kinds": presenters.kind_links(language),
    }
    return render(request, "materials/price_list.html", context)


@roles(OWNER, OFFICE)
@require_http_methods(["GET", "HEAD", "POST"])
def add_product(request: HttpRequest, kind: str) -> HttpResponseBase:
    """Add a product of one kind."""
    found = _kind_or_404(kind)
    form = ProductForm(request.POST or None, kind=found)
    if request.method == "POST" and form.is_valid():
        try:
            material = services.add_material(
                code=form.cleaned_data["code"],
                name=form.cleaned_data["name"],
                kind=found.key,
                facts=form.facts,
                person=person_of(request),
                key=request_key(request),
            )
        except Refusal as refusal:
            _show_fact_refusal(form, refusal)
        else:
            return redirect("product", pk=material.pk)
    context = {"form": form, "kind": found}
    return render(
        request, "materials/add_product.html", context, status=form_status(form)
    )


@roles(OWNER, OFFICE)
@require_http_methods(["GET", "HEAD", "POST"])
def product(request: HttpRequest, pk: int) -> HttpResponseBase:
    """Show a product, its packs and every price; change its facts."""
    material = queries.material_with_packs(pk)
    if material is None:
        raise Http404
    kind = _kind_or_404(material.kind)
    first = {"name": material.name, **typed_facts(material.facts)}
    form = ProductForm(request.POST or None, kind=kind, fixed=True, initial=first)
    if request.method == "POST" and form.is_valid():
        try:
            services.change_material(
                material=material,
                name=form.cleaned_data["name"],
                facts=form.facts,
                person=person_of(request),
            )
        except Refusal as refusal:
            _show_fact_refusal(form, refusal)
        else:
            messages.success(request, _("Saved."))
            return redirect("product", pk=material.pk)
    today = timezone.localdate()
    context = {
        "form": form,
        "kind": kind,
        "material": material,
        "packs": presenters.pack_rows(material, today),
    }
    return render(request, "materials/product.html", context, status=form_status(form))


def _content(material: Material, text: str) -> Fraction:
    """Return what a pack holds, as typed: a number, 25 kg, or 1.44 m2 of tile.

    Raises: Refusal at `content` for what is no amount of this kind, or nothing.
    """
    kind, business = kind_of(material.kind), queries.business()
    system = business.system if business else "metric"
    try:
        facts = read_facts(kind, material.facts, system=system)
        found = kind.content_of(text, facts)
    except Refusal as refusal:
        raise refusal.at("content") from refusal
    if found <= 0:
        raise OutOfRange(_("A pack holds more than nothing."), field="content")
    return found


@roles(OWNER, OFFICE)
@require_http_methods(["GET", "HEAD", "POST"])
def add_pack(request: HttpRequest, pk: int) -> HttpResponseBase:
    """Add a pack of a product with its first price."""
    material = get_object_or_404(Material, pk=pk)
    form = PackForm(request.POST or None, initial={"valid_from": timezone.localdate()})
    if request.method == "POST" and form.is_valid():
        entry = form.cleaned_data
        try:
            services.add_pack(
                material=material,
                entry=PackEntry(
                    supplier=entry["supplier"],
                    label=entry["label"],
                    content=_content(material, entry["content"]),
                    supplier_code=entry["supplier_code"],
                    lead_days=entry["lead_days"],
                    special_order=entry["special_order"],
                    returnable=entry["returnable"],
                ),
                price=PriceEntry(
                    valid_from=entry["valid_from"],
                    amount=entry["amount"],
                    origin=entry["origin"],
                ),
                person=person_of(request),
                key=request_key(request),
            )
        except Refusal as refusal:
            show_refusal(form, refusal)
        else:
            return redirect("product", pk=material.pk)
    context = {"form": form, "material": material, "kind": kind_of(material.kind)}
    return render(request, "materials/add_pack.html", context, status=form_status(form))


@roles(OWNER, OFFICE)
@require_http_methods(["GET", "HEAD", "POST"])
def change_price(request: HttpRequest, pk: int) -> HttpResponseBase:
    """Enter a price of a pack from a date on."""
    pack = get_object_or_404(Pack.objects.select_related("material"), pk=pk)
    form = PriceForm(request.POST or None, initial={"valid_from": timezone.localdate()})
    if request.method == "POST" and form.is_valid():
        try:
            services.change_price(
                pack=pack,
                entry=PriceEntry(**form.cleaned_data),
                person=person_of(request),
                key=request_key(request),
            )
        except Refusal as refusal:
            show_refusal(form, refusal)
        else:
            messages.success(request, _("Price entered; earlier quotes keep theirs."))
            return redirect("product", pk=pack.material_id)
    context = {"form": form, "pack": pack}
    return render(
        request, "materials/change_price.html", context, status=form_status(form)
    )


@roles(OWNER, OFFICE)
@require_http_methods(["GET", "HEAD", "POST"])
def suppliers(request: HttpRequest) -> HttpResponseBase:
    """Show the merchants; add one."""
    form = SupplierForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            services.add_supplier(
                name=form.cleaned_data["name"],
                person=person_of(request),
                key=request_key(request),
            )
        except Refusal as refusal:
            show_refusal(form, refusal)
        else:
            return redirect("suppliers")
    context = {"form": form, "suppliers": queries.suppliers()}
    return render(
        request, "materials/suppliers.html", context, status=form_status(form)
    )


def _kind_or_404(key: str) -> Kind:
    try:
        return kind_of(key)
    except Refusal as refusal:
        raise Http404 from refusal


def _show_fact_refusal(form: ProductForm, refusal: Refusal) -> None:
    name = refusal.field.rpartition(".")[2]
    field = f"fact_{name}" if f"fact_{name}" in form.fields else name
    show_refusal(form, type(refusal)(refusal.sentence, field=field))
