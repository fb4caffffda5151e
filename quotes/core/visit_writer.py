"""Writes a visit back as the document it was read from.

Lengths are written as they were typed. What stands at its default is left out, so
that a short file stays short; reading the result gives the same visit again.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction

from moneyed import Money

from quotes.core.buildup import BuildUp, Layer
from quotes.core.choices import Rates, Terms
from quotes.core.layout.orders import ASSUMED, Ordering
from quotes.core.pricelist_writer import exact_money, number, price_list_document
from quotes.core.rules_file import rules_document
from quotes.core.surface_writer import surface_document
from quotes.core.typed import Typed
from quotes.core.visit import Client, Site, Space, Visit
from quotes.core.visit_file import FORMAT, VERSION

Document = dict[str, object]


def written_visit(visit: Visit) -> Document:
    """Return the visit file's document of a visit.

    Shape: fields in the order of the published form. `read_visit` of it equals the
    visit.
    """
    return {
        "format": FORMAT,
        "version": VERSION,
        "unit": "in" if visit.system == "imperial" else "mm",
        "id": visit.id,
        "title": visit.title,
        "currency": visit.currency,
        "measured_on": visit.measured_on.isoformat(),
        **_filled(_measured(visit)),
        "rates": _rates(visit.rates) if visit.rates else "stored",
        **_filled(
            {
                "ordering": _ordering(visit.ordering),
                "rules": rules_document(visit.rules),
                "terms": _terms(visit.terms),
            }
        ),
        "price_list": (
            price_list_document(visit.price_list) if visit.price_list else "stored"
        ),
    }


def _measured(visit: Visit) -> Document:
    """Return what was measured and chosen, whether it says something or not."""
    return {
        "client": _client(visit.client),
        "site": _site(visit.site),
        "spaces": [_space(space) for space in visit.spaces],
        "build_ups": {
            key: _build_up(build_up) for key, build_up in visit.build_ups.items()
        },
        "labour": _labour(visit),
        "hand_lines": _hand_lines(visit),
        "overrules": [
            {
                "line": overrule.line,
                "what": overrule.what,
                "value": overrule.value,
                "reason": overrule.reason,
            }
            for overrule in visit.overrules
        ],
        "allowances": [
            {
                "nature": allowance.nature,
                "text": allowance.text,
                "amount": exact_money(allowance.amount),
            }
            for allowance in visit.allowances
        ],
    }


def _filled(fields: Mapping[str, object]) -> Document:
    """Return the fields that say something."""
    empty: tuple[object, ...] = ("", None, [], {}, ())
    return {name: value for name, value in fields.items() if value not in empty}


def _typed(value: Typed | None) -> str | None:
    return None if value is None else value.text


def _client(client: Client) -> Document:
    fields = _filled(
        {
            "name": client.name,
            "address": client.address,
            "country": client.country,
            "email": client.email,
            "phone": client.phone,
            "tax_number": client.tax_number,
            "notes": client.notes,
        }
    )
    if client.nature != "household":
        fields["nature"] = client.nature
    return fields


def _site(site: Site) -> Document:
    return _filled(
        {
            "address": site.address,
            "access": _filled(
                {
                    "width": _typed(site.access_width),
                    "height": _typed(site.access_height),
                    "turning": _typed(site.turning),
                }
            ),
            "storey": site.storey or None,
            "built": site.built,
            "substrate": site.substrate,
            "parking": site.parking,
            "power": site.power,
            "water": site.water,
            "asbestos_test": site.asbestos_test,
            "notes": site.notes,
        }
    )


def _space(space: Space) -> Document:
    return {
        "id": space.id,
        "name": space.name,
        **_filled(
            {
                "times": space.times if space.times > 1 else None,
                "surfaces": [surface_document(surface) for surface in space.surfaces],
                "exceptions": [
                    {
                        "surface": exception.surface,
                        "missing": exception.missing,
                        **_filled({"note": exception.note}),
                    }
                    for exception in space.exceptions
                ],
                "notes": space.notes,
            }
        ),
    }


def _build_up(build_up: BuildUp) -> Document:
    return {"name": build_up.name, "layers": [_layer(one) for one in build_up.layers]}


def _layer(layer: Layer) -> Document:
    return {
        "role": layer.role,
        **_filled(
            {
                "material": layer.material,
                "supplied_by": layer.supplied_by if layer.supplied_by != "us" else "",
                "thickness": _typed(layer.thickness),
                "pattern": dict(layer.pattern),
            }
        ),
        **layer.typed,
    }


def _labour(visit: Visit) -> list[Document]:
    return [
        {
            "operation": labour.operation,
            "quantity": number(labour.quantity),
            **_filled(
                {
                    "place": labour.place,
                    "note": labour.note,
                    "factor": number(labour.factor) if labour.factor != 1 else "",
                }
            ),
        }
        for labour in visit.labour
    ]


def _hand_lines(visit: Visit) -> list[Document]:
    return [
        {
            "text": line.text,
            "cost_class": line.cost_class,
            "quantity": number(line.quantity),
            **_filled({"unit": line.unit}),
            **_money("unit_cost", line.unit_cost),
            "unit_price": exact_money(line.unit_price),
        }
        for line in visit.hand_lines
    ]


def _money(name: str, value: Money | None) -> Document:
    return {} if value is None else {name: exact_money(value)}


def _shares(fields: Iterable[tuple[str, Fraction]]) -> Document:
    return {name: number(value) for name, value in fields if value}


def _rates(rates: Rates) -> Document:
    document: Document = {
        "setter_wage": exact_money(rates.setter_wage),
        "helper_wage": exact_money(rates.helper_wage),
        "overhead_per_hour": exact_money(rates.overhead_per_hour),
        "hours_per_day": number(rates.hours_per_day),
        **_money("travel_per_visit", rates.travel_per_visit),
        "method": rates.method,
        **_shares(
            (
                ("materials_rate", rates.materials_rate),
                ("labour_rate", rates.labour_rate),
                ("other_rate", rates.other_rate),
                ("contingency", rates.contingency),
            )
        ),
        **_money("minimum_charge", rates.minimum_charge),
        **_money("round_to", rates.round_to),
        "tax_name": rates.tax_name,
        **_shares(
            (("sales_tax", rates.sales_tax), ("purchase_tax", rates.purchase_tax))
        ),
        "purchase_tax_recoverable": rates.purchase_tax_recoverable,
        "tax_basis": rates.tax_basis,
    }
    outputs = [
        {
            "operation": output.operation,
            "hours": number(output.hours),
            "helper_hours": number(output.helper_hours),
        }
        for output in rates.outputs
    ]
    return {
        **document,
        **_filled({"taxed_classes": list(rates.taxed_classes), "outputs": outputs}),
    }


def _ordering(ordering: Ordering) -> Document:
    if ordering == ASSUMED:
        return {}
    habits = ordering.habits
    return {
        "certainty": number(ordering.certainty),
        "saved_of_eight": habits.saved,
        "broken_cut": number(habits.broken_a_cut),
        "broken_whole": number(habits.broken_a_whole),
    }


def _terms(terms: Terms) -> Document:
    return _filled(
        {
            "scope": terms.scope,
            "exclusions": list(terms.exclusions),
            "text": terms.text,
            **_shares((("deposit", terms.deposit), ("discount", terms.discount))),
            "stages": [
                {"label": stage.label, "share": number(stage.share)}
                for stage in terms.stages
            ],
            "holds_days": terms.holds_days,
            "payment_days": terms.payment_days,
        }
    )
