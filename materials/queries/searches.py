"""Reads of deeper searches: the plans that were kept, by their problem's digest."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import replace

from materials.core.need import MaterialFacts
from materials.models import BoardSearch, Outgoing

UNDER_WAY = (Outgoing.State.WAITING, Outgoing.State.WORKING)


def searches_of(digests: Collection[str]) -> dict[str, BoardSearch]:
    """Return the searches for some problems, ended or not: one query, none for none."""
    if not digests:
        return {}
    return {row.digest: row for row in BoardSearch.objects.filter(digest__in=digests)}


def searches_under_way(digests: Collection[str]) -> set[str]:
    """Return those searches that somebody does or will do: one query, none for none.

    A search that has no record and is not among them has ended without an answer.
    """
    if not digests:
        return set()
    keys = {search_key(digest): digest for digest in digests}
    going = Outgoing.objects.filter(key__in=keys, state__in=UNDER_WAY)
    return {keys[key] for key in going.values_list("key", flat=True)}


def search_key(digest: str) -> str:
    """Return the key of the promise to search for a problem."""
    return f"search:{digest}"


def with_plans(
    catalogue: Mapping[str, MaterialFacts], plans: Mapping[str, str]
) -> dict[str, MaterialFacts]:
    """Return a catalogue whose boards bring records of plans, by problem."""
    if not plans:
        return dict(catalogue)
    return {
        code: replace(material, plans=plans)
        if material.kind == "backer_board"
        else material
        for code, material in catalogue.items()
    }
