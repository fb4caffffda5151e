"""Seals: digests of rows as they were written, kept inside the audit trail.

What a seal covers is what a guard freezes. The trigger keeps an honest program from
changing a row; the seal shows when somebody changed it all the same. A seal names the
columns it covers, so that one added later does not break it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import UTC, datetime
from typing import Any

from django.apps import apps
from django.db import connection, models

from materials.core.chain import digest_of, group_digest
from materials.core.guards import Guard
from materials.fields.exact import ExactField
from materials.models.guarding import all_guards

Seal = Mapping[str, Any]
BATCH = 2_000
SELF_CHAINED = "materials_auditentry"


def model_of(table: str) -> type[models.Model]:
    """Return the model of a table of ours."""
    return next(
        model
        for model in apps.get_models(include_auto_created=True)
        if model._meta.db_table == table
    )


def sealed_guards() -> Iterator[Guard]:
    """Give the guards whose rows are sealed: all but the trail's own and counters."""
    for guard in all_guards():
        if guard.table != SELF_CHAINED and not guard.grows:
            yield guard


def seals_of(rows: Iterable[models.Model]) -> list[Seal]:
    """Return the seals of rows as they stand in the database now, table by table."""
    by_table: dict[str, list[int]] = {}
    for row in rows:
        by_table.setdefault(row._meta.db_table, []).append(row.pk)
    return [
        seal_of(guard, frozen)
        for guard in sealed_guards()
        if guard.table in by_table
        and (frozen := _frozen(guard, sorted(by_table[guard.table])))
    ]


def seal_of(guard: Guard, pks: Sequence[int]) -> Seal:
    """Return one seal over rows of a guard's table."""
    columns = guard.frozen(
        str(field.column) for field in model_of(guard.table)._meta.concrete_fields
    )
    found = row_digests(guard.table, columns, pks)
    return {
        "table": guard.table,
        "guard": guard.name,
        "rows": list(pks),
        "columns": list(columns),
        "digest": group_digest(found[pk] for pk in pks),
    }


def _frozen(guard: Guard, pks: Sequence[int]) -> list[int]:
    """Return which of some rows a guard freezes by now."""
    if not guard.when:
        return list(pks)
    return [pk for pk in pks if pk in set(frozen_rows(guard, pks))]


def frozen_rows(guard: Guard, pks: Sequence[int] | None = None) -> list[int]:
    """Return the keys of the rows a guard freezes, of all or of some."""
    condition = guard.when.replace("OLD.", "") or "1 = 1"
    sql = f"SELECT id FROM {guard.table} WHERE {condition}"  # noqa: S608 - our own list
    if pks is not None:
        sql += f" AND id IN ({', '.join(['%s'] * len(pks))})"
    with connection.cursor() as cursor:
        cursor.execute(f"{sql} ORDER BY id", list(pks or ()))
        return [row[0] for row in cursor.fetchall()]


def row_digests(
    table: str, columns: Sequence[str], pks: Sequence[int] | None = None
) -> dict[int, str]:
    """Return the digest of each row over some columns, by key; of all or of some."""
    model = model_of(table)
    by_column = {field.column: field for field in model._meta.concrete_fields}
    fields = [by_column[name] for name in columns]
    named = {f"column_{place}": _read(field) for place, field in enumerate(fields)}
    rows = model._default_manager.order_by("pk").annotate(**named)
    rows = rows.values_list("pk", *named)
    found = {}
    batches = [None] if pks is None else _batches(pks)
    for batch in batches:
        some = rows if batch is None else rows.filter(pk__in=batch)
        for pk, *values in some.iterator(chunk_size=BATCH):
            found[pk] = digest_of([_plain(value) for value in values])
    return found


def _batches(pks: Sequence[int]) -> Iterator[list[int]]:
    for start in range(0, len(pks), BATCH):
        yield list(pks[start : start + BATCH])


def _read(field: models.Field[Any, Any]) -> models.Expression | models.F:
    """Return how a column is read: an exact value as the whole number it is stored as.

    Made a Fraction or Money first it would say the same, ten times slower.
    """
    if isinstance(field, ExactField):
        return models.ExpressionWrapper(
            models.F(field.attname), output_field=models.BigIntegerField()
        )
    return models.F(field.attname)


def _plain(value: Any) -> Any:
    """Return a stored value in a form that is the same on both databases."""
    if isinstance(value, datetime):
        return value.astimezone(UTC).isoformat(timespec="microseconds")
    return value
