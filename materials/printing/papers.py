"""Who makes which paper: each app adds its own, and the outbox asks by name.

A maker returns the kept bytes of a document's paper. Asked again, it returns the same:
the first paper stands.
"""

from __future__ import annotations

from collections.abc import Callable

from materials.core.errors import Unknown
from materials.models import StoredFile

Maker = Callable[[int], StoredFile]

MAKERS: dict[str, Maker] = {}
"""Name -> maker, taking the primary key of the document."""


def makes(name: str) -> Callable[[Maker], Maker]:
    """Add a maker under a name; used above its function."""

    def add(maker: Maker) -> Maker:
        MAKERS[name] = maker
        return maker

    return add


def paper_named(name: str, pk: int) -> str:
    """Return how the outbox names a paper: `maker:primary key`."""
    return f"{name}:{pk}"


def kept_paper(paper: str) -> StoredFile:
    """Return the paper of a name such as `invoice:12`, made now if it is not yet.

    Raises: Unknown without a maker; whatever the maker refuses.
    """
    name, _colon, pk = paper.partition(":")
    if name not in MAKERS or not pk.isdecimal():
        raise Unknown(f"“{paper}” is no paper that anybody makes.")
    return MAKERS[name](int(pk))
