"""A stored visit as a visit file: the one form in which the core reads it.

Page, command and quote all go through this form, so they cannot disagree.
"""

from __future__ import annotations

from typing import Any

from materials.core.amounts import exact
from materials.core.quantities import decimal_text
from quotes.models import (
    Allowance,
    BuildUp,
    HandLine,
    Opening,
    Overrule,
    Region,
    Space,
    Surface,
    Visit,
)

UNIT_OF = {"imperial": "in", "metric": "mm"}
Plain = dict[str, Any]


def visit_file(visit: Visit, *, currency: str) -> Plain:
    """Return the visit as a visit file that names the stored price list and rates.

    Ten queries, however large the visit is.
    """
    site = visit.site
    client = site.client
    spaces = visit.spaces.prefetch_related("surfaces__openings", "surfaces__regions")
    return {
        "format": "gaugerod-visit",
        "version": 1,
        "unit": UNIT_OF[visit.system],
        "id": str(visit.uid),
        "title": visit.title,
        "currency": currency,
        "measured_on": visit.held_on.isoformat(),
        "client": filled(
            name=client.name,
            nature=client.nature,
            address=client.address,
            country=client.country,
            email=client.email,
            phone=client.phone,
            tax_number=client.tax_number,
        ),
        "site": {**site.facts, **filled(address=site.address, notes=site.notes)},
        "spaces": [space_file(space) for space in spaces],
        "build_ups": {
            row.key: {"name": row.name, "layers": row.layers}
            for row in visit.build_ups.all()
        },
        "labour": visit.facts.get("labour", []),
        "hand_lines": [_hand_line(row) for row in visit.hand_lines.all()],
        "overrules": [_overrule(row) for row in visit.overrules.all()],
        "allowances": [_allowance(row) for row in visit.allowances.all()],
        "rates": "stored",
        "terms": visit.facts.get("terms", {}),
        "price_list": "stored",
    }


def filled(**fields: object) -> Plain:
    """Return the fields that say something."""
    return {name: value for name, value in fields.items() if value not in ("", None)}


def space_file(space: Space) -> Plain:
    """Return a space, its surfaces and all that is in them."""
    return {
        "id": str(space.uid),
        "name": space.name,
        "times": space.times,
        **space.facts,
        "surfaces": [surface_file(surface) for surface in space.surfaces.all()],
    }


def surface_file(surface: Surface) -> Plain:
    """Return a surface with its openings and regions."""
    return {
        "id": str(surface.uid),
        "name": surface.name,
        "role": surface.role,
        "times": surface.times,
        "measured_to": surface.measured_to,
        "exposure": surface.exposure,
        "use": surface.use,
        **filled(build_up=surface.build_up),
        **surface.facts,
        "openings": [_opening(row) for row in surface.openings.all()],
        "regions": [_region(row) for row in surface.regions.all()],
    }


def _opening(row: Opening) -> Plain:
    return {
        "id": str(row.uid),
        "kind": row.kind,
        **filled(name=row.name),
        **row.facts,
    }


def _region(row: Region) -> Plain:
    return {
        "id": str(row.uid),
        "kind": row.kind,
        **filled(name=row.name, build_up=row.build_up),
        **row.facts,
    }


def _hand_line(row: HandLine) -> Plain:
    cost = row.unit_cost
    return {
        "text": row.text,
        "quantity": decimal_text(row.quantity, places=6),
        "cost_class": row.cost_class,
        "unit_price": decimal_text(exact(row.unit_price), places=4),
        **filled(
            unit=row.unit,
            unit_cost=None if cost is None else decimal_text(exact(cost), places=4),
        ),
    }


def _overrule(row: Overrule) -> Plain:
    return {
        "line": row.line,
        "what": row.what,
        "value": row.value,
        "reason": row.reason,
    }


def _allowance(row: Allowance) -> Plain:
    return {
        "nature": row.nature,
        "text": row.text,
        "amount": decimal_text(exact(row.amount), places=4),
    }


def template_file(row: BuildUp) -> Plain:
    """Return a build-up as the visit file writes it."""
    return {"name": row.name, "layers": row.layers}
