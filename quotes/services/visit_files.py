"""Take a visit file into the database, as if its visit had been typed here."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from django.db import transaction

from materials.core import amounts
from materials.core.quantities import parse_number
from materials.models import Person
from materials.services.pricelist import saved
from quotes.core.visit_file import read_visit
from quotes.models import Allowance, BuildUp, HandLine, Space, Visit
from quotes.services.visits import VisitEntry, make_visit, save_surface

SYSTEM_OF = {"in": "imperial", "mm": "metric"}


@transaction.atomic
def take_visit_file(*, data: Mapping[str, Any], person: Person, key: str) -> Visit:
    """Store a visit file as a new visit; the stored price list and rates are used.

    The file's own price list and rates are left out: another business's prices do
    not become ours. Ids are kept where they are unused UUIDs; surfaces that name
    each other keep doing so.

    Raises: Refusal with the path for whatever the file says that is not understood.
    """
    record = read_visit({**data, "price_list": "stored", "rates": "stored"})
    visit = make_visit(entry=_entry(data, record.title), person=person, key=key)
    if visit.spaces.exists():
        return visit
    visit.facts = {
        "terms": data.get("terms", {}),
        "labour": data.get("labour", []),
    }
    visit.save(update_fields=["facts"])
    for name, build_up in data.get("build_ups", {}).items():
        saved(
            BuildUp(
                visit=visit,
                key=name,
                name=build_up.get("name", name),
                layers=build_up["layers"],
            )
        )
    for place, space in enumerate(data.get("spaces", [])):
        _take_space(space, place, visit, person=person, key=key)
    _take_lines(data, visit)
    return visit


def _entry(data: Mapping[str, Any], title: str) -> VisitEntry:
    client, site = data.get("client", {}), data.get("site", {})
    return VisitEntry(
        title=title,
        held_on=date.fromisoformat(data["measured_on"]),
        client_name=client.get("name", "") or title,
        address=site.get("address", "") or client.get("address", ""),
        email=client.get("email", ""),
        phone=client.get("phone", ""),
        nature=client.get("nature", "household"),
        site_facts={
            name: value
            for name, value in site.items()
            if name not in ("address", "notes")
        },
        system=SYSTEM_OF[data["unit"]],
    )


def _take_space(
    data: Mapping[str, Any], place: int, visit: Visit, *, person: Person, key: str
) -> None:
    apart = {"id", "name", "times", "surfaces", "exceptions"}
    space = Space(
        visit=visit,
        name=data["name"],
        position=place,
        times=data.get("times", 1),
        facts={name: value for name, value in data.items() if name not in apart},
    )
    saved(space)
    ids: dict[str, str] = {}
    for number, entry in enumerate(data.get("surfaces", [])):
        surface = save_surface(
            space=space,
            entry=_named(dict(entry), ids),
            person=person,
            key=f"{key[:40]}-{place}-{number}",
        )
        ids[entry["id"]] = str(surface.uid)


def _named(entry: dict[str, Any], ids: Mapping[str, str]) -> dict[str, Any]:
    """Return a surface whose neighbours are named by their new ids.

    A neighbour that comes later in the file cannot be named yet: the other surface
    names this one, which is enough.
    """
    shape = dict(entry["shape"])
    if shape.get("floor") in ids:
        shape["floor"] = ids[shape["floor"]]
    edges = [
        _edge(edge, ids) if isinstance(edge, dict) else edge
        for edge in entry.get("edges", [])
    ]
    return {**entry, "shape": shape, **({"edges": edges} if edges else {})}


def _edge(edge: Mapping[str, Any], ids: Mapping[str, str]) -> dict[str, Any]:
    known = ids.get(edge.get("meets", ""))
    kept = {name: value for name, value in edge.items() if name != "meets"}
    if known is None:
        kept.pop("runs", None)
        return kept
    return {**kept, "meets": known}


def _take_lines(data: Mapping[str, Any], visit: Visit) -> None:
    code = data["currency"]
    for place, row in enumerate(data.get("hand_lines", [])):
        cost = row.get("unit_cost")
        saved(
            HandLine(
                visit=visit,
                position=place,
                text=row["text"],
                cost_class=row.get("cost_class", "labour"),
                quantity=parse_number(str(row.get("quantity", "1"))),
                unit=row.get("unit", ""),
                unit_price=amounts.unit_price(str(row["unit_price"]), code),
                unit_cost=amounts.unit_price(str(cost), code) if cost else None,
            )
        )
    for place, row in enumerate(data.get("allowances", [])):
        saved(
            Allowance(
                visit=visit,
                position=place,
                nature=row["nature"],
                text=row["text"],
                amount=amounts.parse_money(str(row["amount"]), code),
            )
        )
