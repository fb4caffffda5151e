"""Reads of deeper searches: the plans that were kept, by their problem's digest."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import replace

from materials.core.need import MaterialFacts
from materials.models import BoardSearch


def searches_of(digests: Collection[str]) -> dict[str, BoardSearch]:
    """Return the searches for some problems, ended or not: one query, none for none."""
    if not digests:
        return {}
    return {row.digest: row for row in BoardSearch.objects.filter(digest__in=digests)}


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
