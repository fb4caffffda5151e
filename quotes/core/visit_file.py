"""Reads a visit file: one JSON document, its lengths as typed, into a `Visit`.

The form is published as `visit_schema.json`. Nothing unknown is passed over: every
refusal names the place by its dotted path and says what to do. Texts of numbers are
read exactly; a number with decimals outside quotes is taken by its digits.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping

from materials.core import amounts
from materials.core.errors import Refusal
from quotes.core.errors import WrongFile
from quotes.core.file_node import FileRules, Node, system_of_unit
from quotes.core.offer_file import (
    read_allowances,
    read_build_ups,
    read_hand_lines,
    read_labour,
    read_ordering,
    read_overrules,
    read_rates,
    read_terms,
)
from quotes.core.pricelist_file import read_price_list
from quotes.core.rules_file import read_rules
from quotes.core.surface_file import read_surface
from quotes.core.visit import Client, RepeatException, Site, Space, Visit

FORMAT = "gaugerod-visit"
VERSION = 1


def parse_visit(text: str) -> Visit:
    """Return the visit of a file's text.

    Raises: WrongFile for a text that is no JSON, a field given twice, NaN and the
    like; else what `read_visit` raises.
    """
    try:
        data = json.loads(
            text,
            parse_float=str,
            parse_constant=_no_number,
            parse_int=_whole_number,
            object_pairs_hook=_once,
        )
    except json.JSONDecodeError as error:
        raise WrongFile(
            f"The file is no JSON: {error.msg} in line {error.lineno}; correct it."
        ) from error
    except RecursionError as error:
        raise WrongFile(
            "The file is nested too deeply; it is no visit file."
        ) from error
    return read_visit(data)


def _no_number(word: str) -> object:
    raise WrongFile(f"“{word}” is no number; write the figure, or leave it out.")


def _whole_number(digits: str) -> int:
    if len(digits) > 15:
        raise WrongFile(f"“{digits[:20]}…” has too many digits for a measure.")
    return int(digits)


def _once(pairs: Iterable[tuple[str, object]]) -> dict[str, object]:
    found: dict[str, object] = {}
    for name, value in pairs:
        if name in found:
            raise WrongFile(
                f"“{name[:40]}” is given twice in one place; keep one.", field=name[:40]
            )
        found[name] = value
    return found


def read_visit(data: Mapping[str, object]) -> Visit:
    """Return the visit a document describes, whole and checked field by field.

    Shapes are checked by `surfaces.measured`, products by `take_off`.

    Raises: Refusal, with the dotted path as its field and a sentence.
    """
    rules = _rules(data)
    node = Node.of(data, "", rules)
    node.only(
        "format", "version", "unit", "id", "title", "currency", "measured_on",
        "client", "site", "spaces", "build_ups", "labour", "hand_lines", "overrules",
        "allowances", "rates", "ordering", "rules", "terms", "price_list",
    )  # fmt: skip
    visit = Visit(
        id=node.name_text("id", most=80),
        title=node.name_text("title", most=160),
        currency=rules.currency,
        measured_on=node.day("measured_on"),
        system=rules.system,
        client=_client(node.child("client")),
        site=_site(node.child("site")),
        spaces=tuple(map(_space, node.children("spaces", most=200))),
        build_ups=read_build_ups(node),
        labour=read_labour(node),
        hand_lines=read_hand_lines(node),
        overrules=read_overrules(node),
        allowances=read_allowances(node),
        rates=read_rates(node),
        ordering=read_ordering(node),
        rules=read_rules(node),
        terms=read_terms(node),
        price_list=read_price_list(node),
    )
    _check_ids(visit)
    return visit


def _rules(data: Mapping[str, object]) -> FileRules:
    if not isinstance(data, Mapping):
        raise WrongFile("A visit file is one object in braces.")
    if data.get("format") != FORMAT:
        raise WrongFile(f"“format” must be “{FORMAT}”.", field="format")
    if data.get("version") != VERSION or isinstance(data.get("version"), bool):
        raise WrongFile(
            f"“version” must be {VERSION}: this program reads no other.",
            field="version",
        )
    code = data.get("currency")
    if not isinstance(code, str):
        raise WrongFile(
            "“currency” is missing; write USD, GBP or EUR.", field="currency"
        )
    try:
        amounts.currency(code)
    except Refusal as refusal:
        raise refusal.at("currency") from refusal
    return FileRules(system=system_of_unit(data.get("unit")), currency=code)


def _client(node: Node) -> Client:
    node.only(
        "name", "nature", "address", "country", "email", "phone", "tax_number", "notes"
    )
    return Client(
        name=node.text("name"),
        nature=node.choice("nature", ("household", "business"), "household"),
        address=node.text("address", most=4000),
        country=node.text("country", most=2),
        email=node.text("email"),
        phone=node.text("phone"),
        tax_number=node.text("tax_number"),
        notes=node.text("notes", most=4000),
    )


def _site(node: Node) -> Site:
    node.only(
        "address", "access", "storey", "built", "substrate", "parking", "power",
        "water", "asbestos_test", "notes",
    )  # fmt: skip
    access = node.child("access")
    access.only("width", "height", "turning")
    built = node.count("built", 0, least=1200, most=2200)
    return Site(
        address=node.text("address", most=4000),
        access_width=access.maybe_length("width"),
        access_height=access.maybe_length("height"),
        turning=access.maybe_length("turning"),
        storey=node.count("storey", 0, least=-5, most=200),
        built=built or None,
        substrate=node.text("substrate"),
        parking=node.text("parking"),
        power=node.text("power"),
        water=node.text("water"),
        asbestos_test=node.text("asbestos_test"),
        notes=node.text("notes", most=4000),
    )


def _space(node: Node) -> Space:
    node.only("id", "name", "times", "surfaces", "exceptions", "notes")
    times = node.count("times", 1, least=1, most=1000)
    exceptions = []
    for one in node.children("exceptions", most=100):
        one.only("surface", "missing", "note")
        one.demand("missing")
        exceptions.append(
            RepeatException(
                surface=one.name_text("surface", most=80),
                missing=one.count("missing", 1, least=1, most=times),
                note=one.text("note"),
            )
        )
    return Space(
        id=node.name_text("id", most=80),
        name=node.name_text("name"),
        times=times,
        surfaces=tuple(map(read_surface, node.children("surfaces", most=200))),
        exceptions=tuple(exceptions),
        notes=node.text("notes", most=4000),
    )


def _check_ids(visit: Visit) -> None:
    """Refuse an id that stands twice among spaces, surfaces, openings and regions."""
    seen: dict[str, str] = {}
    for s, space in enumerate(visit.spaces):
        _see(seen, space.id, f"spaces[{s}].id")
        for n, surface in enumerate(space.surfaces):
            path = f"spaces[{s}].surfaces[{n}]"
            _see(seen, surface.id, f"{path}.id")
            for i, opening in enumerate(surface.openings):
                _see(seen, opening.id, f"{path}.openings[{i}].id")
            for i, region in enumerate(surface.regions):
                _see(seen, region.id, f"{path}.regions[{i}].id")


def _see(seen: dict[str, str], identity: str, path: str) -> None:
    if identity in seen:
        raise WrongFile(
            f"The id “{identity}” already stands at {seen[identity]}; "
            "give each its own.",
            field=path,
        )
    seen[identity] = path
