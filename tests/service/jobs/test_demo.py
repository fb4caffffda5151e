"""The demo business: three jobs at three stages, opened once, of real figures."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from io import StringIO
from typing import Any

import pytest
from django.apps import apps
from django.core.management import call_command
from django.db import transaction
from django.test.utils import override_settings

from jobs.management.demo import DAY, TRADE_ORDER, demo_files
from jobs.models import Invoice, Job
from materials.models import Business, Person
from quotes.core.labour import OPERATIONS
from quotes.models import Quote, Revision, Visit
from tests.priced import priced_visit

PASSWORD = "chalk-line-and-straight-edge"


def rows() -> dict[str, list[dict[str, Any]]]:
    return {
        model._meta.label: list(model._default_manager.order_by("pk").values())
        for app in ("materials", "quotes", "jobs")
        for model in apps.get_app_config(app).get_models()
    }


@pytest.fixture(scope="module")
def opened(
    django_db_setup: None, django_db_blocker: Any, tmp_path_factory: Any
) -> Iterator[None]:
    """Open the demo once; each test looks at it in a savepoint of its own."""
    media = tmp_path_factory.mktemp("media")
    with (
        django_db_blocker.unblock(),
        override_settings(MEDIA_ROOT=media),
        transaction.atomic(),
    ):
        call_command("open_demo", password=PASSWORD, stdout=StringIO())
        yield
        transaction.set_rollback(True)


@pytest.mark.django_db
@pytest.mark.usefixtures("opened")
def test_the_demo_opens_with_three_jobs_at_three_stages_once() -> None:
    first = rows()

    call_command("open_demo", password="another-and-longer-one", stdout=StringIO())

    assert rows() == first
    assert Business.objects.get().is_demo
    assert sorted(Job.objects.values_list("state", flat=True)) == [
        "complete",
        "on_site",
    ]
    assert sorted(Revision.objects.values_list("state", flat=True)) == [
        "accepted",
        "accepted",
        "offered",
    ]
    assert Visit.objects.count() == Quote.objects.count() == 3
    assert Invoice.objects.exclude(number="").count() == 2
    assert {row.role for row in Person.objects.all()} == set(Person.Role.values)
    assert Person.objects.get(role="owner").check_password(PASSWORD)
    assert all(row.cost.amount > 0 for row in Revision.objects.all())


@pytest.mark.django_db
@pytest.mark.usefixtures("opened")
def test_the_work_of_the_demo_runs_in_the_order_of_the_trade() -> None:
    for job in Job.objects.all():
        sheets = list(job.day_sheets.order_by("worked_on"))
        turns = [
            TRADE_ORDER.index(line.budget_line.operation)
            for sheet in sheets
            for line in sheet.lines.order_by("pk")
            if line.budget_line
        ]
        bought = job.purchases.get().bought_on
        assert turns == sorted(turns)
        assert len(turns) > len(sheets)
        assert all(sheet.worked_on.weekday() < 5 for sheet in sheets)
        assert all(bought < sheet.worked_on for sheet in sheets)
        assert job.usages.exists()
        for sheet in sheets[:-1]:
            assert sum(line.hours for line in sheet.lines.all()) == DAY


def test_every_operation_has_its_turn_in_the_demo() -> None:
    assert sorted(TRADE_ORDER) == sorted(row.key for row in OPERATIONS)


def dearer(file: Mapping[str, Any], code: str) -> dict[str, Any]:
    """Return a file in which every price of one product has a 9 before it."""
    materials = [
        {
            **row,
            "packs": [
                {
                    **pack,
                    "prices": [
                        {**price, "amount": f"9{price['amount']}"}
                        for price in pack["prices"]
                    ],
                }
                for pack in row["packs"]
            ],
        }
        if row["code"] == code
        else row
        for row in file["price_list"]["materials"]
    ]
    return {**file, "price_list": {**file["price_list"], "materials": materials}}


@pytest.mark.parametrize("place", range(3))
def test_the_figures_of_the_demo_follow_one_price(place: int) -> None:
    file = dict(demo_files()[place])
    before = priced_visit(file).option
    line = next(row for row in before.lines if row.cost_class == "materials"
                and row.cost.amount and row.supplied_by == "us"
                and row.section and row.material.startswith(("TL", "GR")))  # fmt: skip

    after = priced_visit(dearer(file, line.material)).option

    changed = {
        row.key
        for row in after.lines
        if row.cost_class == "materials"
        and row.cost != next(o.cost for o in before.lines if o.key == row.key)
    }
    assert changed == {line.key}
    assert after.totals.cost > before.totals.cost
    assert after.totals.gross > before.totals.gross
