"""Rows by the hundred thousand, written as a model would store them, past the models.

Django makes an object and a piece of SQL of every row it writes. Of a million rows
that differ in four columns the others need be made once: SQLite takes the rows by one
prepared statement, PostgreSQL as a copy. Constraints and guards stand as ever.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import lru_cache
from typing import Any

from django.core.management.color import no_style
from django.db import connection, models

from materials.core.guards import POSTGRESQL

Row = tuple[Any, ...]


def next_key(model: type[models.Model]) -> int:
    """Return the first key that no row of a model has yet."""
    last: int | None = model._default_manager.aggregate(last=models.Max("pk"))["last"]
    return (last or 0) + 1


def write_rows(like: models.Model, varying: Sequence[str], rows: Iterable[Row]) -> None:
    """Store rows that are like an unsaved one but for some columns.

    Shape: `varying` are the names of attributes, such as `id` and `job_id`; each row
    gives their values in that order, its own key among them. An exact value (money, a
    quantity) is given as the whole number it is stored as.
    """
    fields = {field.attname: field for field in like._meta.concrete_fields}
    same = [
        field
        for name, field in fields.items()
        if name not in varying and not field.generated
    ]
    columns = [str(one.column) for one in (*map(fields.__getitem__, varying), *same)]
    rest = tuple(
        field.get_db_prep_save(field.pre_save(like, add=True), connection)
        for field in same
    )
    makers = [_maker(fields[name]) for name in varying]
    _written(type(like), columns, _whole(rows, makers, rest))


def _whole(
    rows: Iterable[Row], makers: Sequence[Callable[[Any], Any] | None], rest: Row
) -> Iterator[Row]:
    for row in rows:
        pairs = zip(makers, row, strict=True)
        yield (
            *[value if make is None else make(value) for make, value in pairs],
            *rest,
        )


def _maker(field: models.Field[Any, Any]) -> Callable[[Any], Any] | None:
    """Return what makes a day or an id what is stored; others are it already."""
    if not isinstance(field, models.DateField | models.UUIDField):
        return None

    def make(value: Any) -> Any:
        return field.get_db_prep_save(value, connection)

    return (
        lru_cache(maxsize=1_000)(make) if isinstance(field, models.DateField) else make
    )


def _written(
    model: type[models.Model], columns: Sequence[str], rows: Iterator[Row]
) -> None:
    table, quote = model._meta.db_table, connection.ops.quote_name
    names = ", ".join(quote(column) for column in columns)
    with connection.cursor() as cursor:
        if connection.vendor != POSTGRESQL:
            places = ", ".join(["%s"] * len(columns))
            sql = f"INSERT INTO {quote(table)} ({names}) VALUES ({places})"  # noqa: S608
            cursor.executemany(sql, rows)  # type: ignore[arg-type]
            return
        with cursor.copy(f"COPY {quote(table)} ({names}) FROM STDIN") as copy:
            for row in rows:
                copy.write_row(row)
        for sql in connection.ops.sequence_reset_sql(no_style(), [model]):
            cursor.execute(sql)
