"""System checks of stored rows: materials.E001, a kind that no longer exists."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django.core.checks import CheckMessage, Error, Tags, register
from django.db import connections

from materials.core.kinds import BY_KEY
from materials.models import Material

SHOWN = 5


@register(Tags.database)
def stored_kinds_are_registered(
    databases: Sequence[str] | None = None, **_given: Any
) -> list[CheckMessage]:
    """Refuse materials of a kind that is not registered: no page could read them.

    Asks the databases only when it is given some (`check --database`, `migrate`), and
    passes one by whose tables are not made yet.
    """
    return [
        Error(
            f"“{kind}” is no kind of material any more, but the price list keeps "
            f"materials of it: {_listed(codes)}.",
            hint="List the kind in materials/core/kinds again, or change the rows by "
            "a migration and run: manage.py migrate --skip-checks",
            id="materials.E001",
        )
        for database in databases or ()
        for kind, codes in _strangers(database).items()
    ]


def _strangers(database: str) -> dict[str, list[str]]:
    """Return the unknown kinds of a database, each with the codes of its materials."""
    connection = connections[database]
    table = Material._meta.db_table
    with connection.cursor() as cursor:
        if table not in connection.introspection.table_names(cursor):
            return {}
    rows = (
        Material.objects.using(database)
        .exclude(kind__in=list(BY_KEY))
        .order_by("kind", "code")
        .values_list("kind", "code")
    )
    found: dict[str, list[str]] = {}
    for kind, code in rows:
        found.setdefault(kind, []).append(code)
    return found


def _listed(codes: Sequence[str]) -> str:
    """Return the first codes, and how many more there are."""
    more = len(codes) - SHOWN
    return ", ".join(codes[:SHOWN]) + (f" and {more} more" if more > 0 else "")
