"""Guards come back onto a table that a migration made anew, with real commits."""

from __future__ import annotations

import pytest
from django.core.management import call_command
from django.db import connection

from materials.models.guarding import lowered, missing_guards


@pytest.mark.django_db(transaction=True)
def test_guards_are_put_back_on_a_table_that_was_made_anew() -> None:
    with lowered():
        pass
    with connection.cursor() as cursor:
        on = " ON jobs_payment" if connection.vendor == "postgresql" else ""
        cursor.execute(f"DROP TRIGGER guard_jobs_payment_kept_update{on}")
    assert missing_guards(connection) == ["guard_jobs_payment_kept_update"]

    call_command("migrate", verbosity=0)

    assert missing_guards(connection) == []
