"""What is kept cannot be changed by any path: the database itself refuses."""

from __future__ import annotations

import uuid
from collections.abc import Callable, Iterator
from datetime import UTC, date, datetime, timedelta
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from django.apps import apps
from django.db import IntegrityError, connection, models, transaction
from moneyed import Money

from materials.core.guards import Guard
from materials.core.lengths import Length
from materials.models.guarding import all_guards, lowered, missing_guards
from tests.service.jobs.whole_business import a_standing_business

SAID = "is kept as it was written"
UNGUARDED = {
    "materials_outgoing": "what is owed: each try is written into it",
    "materials_boardsearch": "a plan that anybody can search for again",
    "materials_audithead": "counts on with the trail, and is compared with it",
    "materials_person": "roles and sign-ins change",
    "materials_person_groups": "of Django, not used",
    "materials_person_user_permissions": "of Django, not used",
    "materials_guesses": "counted up, taken back and forgotten",
    "materials_signin": "a session's face: seen again, and gone with it",
    "materials_business": "the owner's own words and settings",
    "materials_supplier": "addresses change",
    "materials_material": "sheets change; quotes keep their own copy",
    "materials_pack": "a pack goes out of use; quotes keep their own copy",
    "materials_price": "quotes keep their own copy",
    "materials_requestkey": "the outcome is noted; nothing is read from it later",
    "quotes_linklook": "counted up when a client looks",
    "quotes_client": "people move; documents keep their own copy",
    "quotes_site": "facts are added",
    "quotes_visit": "drafts, until a quote copies them",
    "quotes_space": "drafts",
    "quotes_surface": "drafts",
    "quotes_opening": "drafts",
    "quotes_region": "drafts",
    "quotes_visitphoto": "notes change; the file itself is kept",
    "quotes_buildup": "drafts and templates",
    "quotes_overrule": "drafts",
    "quotes_handline": "drafts",
    "quotes_allowance": "drafts",
    "quotes_rates": "rates change; quotes and jobs keep their own copy",
    "quotes_operationrate": "rates change",
    "jobs_invoiceline": "lines of a draft; the issued document speaks",
}
"""Tables that may change, and why that hurts nothing that was promised."""

pytestmark = pytest.mark.django_db


@pytest.fixture(scope="module", autouse=True)
def standing(
    django_db_setup: None, django_db_blocker: Any, tmp_path_factory: Any
) -> Iterator[Path]:
    """Stand up one business, with a row in every guarded table, for all tests here."""
    folder = tmp_path_factory.mktemp("standing")
    with django_db_blocker.unblock(), a_standing_business(folder) as media:
        yield media


def own_models() -> Iterator[type[models.Model]]:
    for label in ("materials", "quotes", "jobs"):
        yield from apps.get_app_config(label).get_models(include_auto_created=True)


def model_of(guard: Guard) -> Any:
    return next(one for one in own_models() if one._meta.db_table == guard.table)


def a_row(guard: Guard) -> Any:
    """Return a stored row that the guard freezes, and no other guard of its table."""
    model = model_of(guard)
    condition = guard.when.replace("OLD.", "") or "1 = 1"
    others = [
        f"NOT ({one.when.replace('OLD.', '')})"
        for one in all_guards()
        if one.table == guard.table and one.name != guard.name and one.when
        and guard.name in ("offered", "written")
    ]  # fmt: skip
    where = " AND ".join([f"({condition})", *others])
    with connection.cursor() as cursor:
        cursor.execute(f"SELECT id FROM {guard.table} WHERE {where} ORDER BY id")
        found = cursor.fetchone()
    assert found is not None, f"the whole business has no row for {guard.trigger}"
    return model.objects.get(pk=found[0])


def fields_of(guard: Guard) -> list[models.Field[Any, Any]]:
    """Return the frozen columns of a guard's table, as fields."""
    fields = list(model_of(guard)._meta.concrete_fields)
    frozen = guard.frozen([one.column for one in fields])
    return [one for one in fields if one.column in frozen]


def another(field: models.Field[Any, Any], now: Any) -> Any:
    """Return a value the column could hold and does not."""
    if isinstance(now, Money):
        return now + Money(1, now.currency)
    if isinstance(now, Length):
        return Length(now.ticks + 1)
    if isinstance(now, bool):
        return not now
    if isinstance(now, int | Fraction):
        return now + 1
    if isinstance(now, date):
        return now + timedelta(days=1)
    if isinstance(now, uuid.UUID):
        return uuid.uuid4()
    if isinstance(field, models.JSONField):
        return {"another": 1}
    if isinstance(field, models.DateTimeField):
        return datetime(2026, 1, 1, tzinfo=UTC)
    if isinstance(field, models.DateField):
        return date(2026, 1, 1)
    if isinstance(field, models.CharField | models.TextField):
        return "EUR" if field.max_length == 3 else f"x{now or ''}"[: field.max_length]
    kind = field.get_internal_type()
    if kind == "BigIntegerField" and "money" in type(field).__name__.lower():
        return Money(1, "USD")
    return Length(1) if type(field).__name__ == "LengthField" else 1


def save(row: Any, field: Any, value: Any) -> None:
    setattr(row, field.attname, value)
    row.save()


def update(row: Any, field: Any, value: Any) -> None:
    type(row).objects.filter(pk=row.pk).update(**{field.attname: value})


def bulk_update(row: Any, field: Any, value: Any) -> None:
    setattr(row, field.attname, value)
    type(row).objects.bulk_update([row], [field.name])


def raw_sql(row: Any, field: Any, value: Any) -> None:
    with connection.cursor() as cursor:
        cursor.execute(
            f'UPDATE {row._meta.db_table} SET "{field.column}" = %s WHERE id = %s',
            [field.get_db_prep_save(value, connection), row.pk],
        )


def raw_delete(row: Any) -> None:
    with connection.cursor() as cursor:
        cursor.execute(f"DELETE FROM {row._meta.db_table} WHERE id = %s", [row.pk])


def empty_table(row: Any) -> None:
    """Truncate where the database can; else put another row in its place."""
    table = row._meta.db_table
    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            cursor.execute("SET CONSTRAINTS ALL IMMEDIATE")
            cursor.execute(f"TRUNCATE {table} CASCADE")
        else:
            # What the database works out by itself cannot be put in.
            columns = ", ".join(
                f'"{field.column}"'
                for field in row._meta.concrete_fields
                if not field.generated
            )
            cursor.execute(
                f"INSERT OR REPLACE INTO {table} ({columns}) "
                f"SELECT {columns} FROM {table} WHERE id = %s",
                [row.pk],
            )


CHANGES = (save, update, bulk_update, raw_sql)
DELETES: tuple[Callable[[Any], object], ...] = (
    lambda row: row.delete(),
    lambda row: type(row).objects.filter(pk=row.pk).delete(),
    lambda row: type(row).objects.filter(pk=row.pk)._raw_delete("default"),
    raw_delete,
    empty_table,
)


def refused(act: Callable[[], object]) -> bool:
    """Return whether a guard refused, or Django before it a cascade."""
    try:
        with transaction.atomic():
            act()
    except models.ProtectedError:
        return True
    except IntegrityError as error:
        return SAID in str(error)
    return False


def test_every_frozen_column_resists_every_path() -> None:
    passed, tried = [], 0
    for guard in all_guards():
        for field in fields_of(guard):
            for path in CHANGES:
                row = a_row(guard)
                if field.primary_key and path is not raw_sql:
                    continue
                value = another(field, getattr(row, field.attname))
                tried += 1
                if not refused(lambda: path(row, field, value)):  # noqa: B023
                    passed.append(f"{guard.trigger}.{field.column} {path.__name__}")

    assert passed == []
    assert tried > 600


def test_no_kept_row_can_be_deleted_by_any_path() -> None:
    passed = [
        f"{guard.trigger} {place}"
        for guard in all_guards()
        for place, path in enumerate(DELETES)
        if not refused(lambda: path(a_row(guard)))  # noqa: B023
    ]

    assert passed == []


def test_the_columns_that_may_change_are_not_refused_by_a_guard() -> None:
    refusals = []
    for guard in all_guards():
        row = a_row(guard)
        for field in row._meta.concrete_fields:
            if field.column not in (*guard.free, *guard.grows):
                continue
            if field.is_relation or getattr(field, "choices", None):
                value: Any = getattr(row, field.attname)
            else:
                value = another(field, getattr(row, field.attname))
            try:
                with transaction.atomic():
                    update(row, field, value)
            except IntegrityError as error:
                if SAID in str(error):
                    refusals.append(f"{guard.trigger}.{field.column}")

    assert refusals == []


def test_states_go_on_and_never_back_to_a_draft() -> None:
    for guard, draft in (("issued", "draft"), ("offered", "drafting")):
        row = a_row(next(one for one in all_guards() if one.name == guard))
        with pytest.raises(IntegrityError, match=SAID), transaction.atomic():
            type(row).objects.filter(pk=row.pk).update(state=draft)


def test_a_number_is_never_counted_down() -> None:
    row = a_row(next(one for one in all_guards() if one.table == "jobs_series"))

    with pytest.raises(IntegrityError, match=SAID), transaction.atomic():
        type(row).objects.filter(pk=row.pk).update(last=row.last - 1)


def test_every_table_is_guarded_or_named_with_its_reason() -> None:
    tables = {model._meta.db_table for model in own_models()}
    guarded = {guard.table for guard in all_guards()}

    assert guarded | set(UNGUARDED) == tables
    assert not guarded & set(UNGUARDED)


def test_every_column_a_guard_names_exists() -> None:
    for guard in all_guards():
        columns = {one.column for one in model_of(guard)._meta.concrete_fields}
        assert {*guard.free, *guard.once, *guard.grows} <= columns, guard.trigger


def test_guards_stand_after_a_migration_and_come_back_after_a_repair() -> None:
    assert missing_guards(connection) == []
    with lowered():
        assert missing_guards(connection) != []

    assert missing_guards(connection) == []
