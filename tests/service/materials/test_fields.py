"""Exact columns on the configured database: sums, checks, round trips, refusals."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from django.apps.registry import Apps
from django.core import serializers
from django.core.exceptions import FieldError, ValidationError
from django.db import IntegrityError, connection, migrations, models, transaction
from django.db.migrations.autodetector import MigrationAutodetector
from django.db.migrations.state import ModelState, ProjectState
from django.db.migrations.writer import MigrationWriter
from django.db.models import F, Max, Q, Sum
from djmoney.models.fields import CurrencyField
from moneyed import Money

from materials.core import amounts
from materials.core.areas import Area
from materials.core.errors import MixedCurrencies, OutOfRange
from materials.core.lengths import INCH, Length
from materials.fields import (
    AreaField,
    HoursField,
    LengthField,
    MoneyField,
    QuantityField,
    RateField,
    amount_check,
    price_check,
)

ROWS = 20_000


class Ledger(models.Model):
    """A table of the tests only: every exact column, and a sum that must hold."""

    net = MoneyField(default_currency="USD")
    tax = MoneyField(default_currency="USD")
    gross = MoneyField(default_currency="USD")
    price = MoneyField(null=True, blank=True)
    width = LengthField(null=True, blank=True)
    cover = AreaField(null=True, blank=True)
    rate = RateField(default=0)
    content = QuantityField(default=0)
    hours = HoursField(default=0)

    class Meta:
        apps = Apps()
        app_label = "materials"
        db_table = "exact_columns_of_the_tests"
        constraints = [
            amount_check("net"),
            amount_check("gross"),
            price_check("price"),
            models.CheckConstraint(
                condition=Q(gross=F("net") + F("tax")), name="ledger_adds_up"
            ),
            models.CheckConstraint(condition=Q(width__gt=0), name="ledger_width"),
        ]

    def __str__(self) -> str:
        return f"{self.gross}"


LEDGER: Any = Ledger._default_manager


@pytest.fixture(scope="module", autouse=True)
def table(django_db_setup: None, django_db_blocker: Any) -> Iterator[None]:
    """Create the table before the tests of this module, and drop it after them."""
    with django_db_blocker.unblock():
        with connection.schema_editor() as editor:
            editor.create_model(Ledger)
        yield
        with connection.schema_editor() as editor:
            editor.delete_model(Ledger)


pytestmark = pytest.mark.django_db


def usd(amount: str) -> Money:
    """Return dollars."""
    return Money(amount, "USD")


def entry(net: str = "1.00", tax: str = "0.00", **columns: Any) -> Ledger:
    """Return an unsaved row whose gross is its net and tax."""
    gross = amounts.total([usd(net), usd(tax)], "USD")
    return Ledger(net=usd(net), tax=usd(tax), gross=gross, **columns)


def many() -> list[tuple[int, int]]:
    """Return net and tax of many rows in cents, spread without a random generator."""
    return [((k * 7919) % 1_000_003, (k * 104_729) % 99_991) for k in range(ROWS)]


def save_many() -> None:
    LEDGER.bulk_create(
        [
            Ledger(
                net=amounts.from_units(net * 100, "USD"),
                tax=amounts.from_units(tax * 100, "USD"),
                gross=amounts.from_units((net + tax) * 100, "USD"),
                width=Length(net + 1),
                rate=Fraction(tax, 1_000_000),
            )
            for net, tax in many()
        ],
        batch_size=1_000,
    )


def test_sums_of_many_rows_are_exact_and_every_true_sum_is_accepted() -> None:
    save_many()

    sums = LEDGER.aggregate(
        nets=Sum("net"),
        both=Sum(F("net") + F("tax")),
        widths=Sum("width"),
        rates=Sum("rate"),
        widest=Max("width"),
    )

    nets, taxes = (sum(column) for column in zip(*many(), strict=True))
    assert sums == {
        "nets": Decimal(nets).scaleb(-2),
        "both": Decimal(nets + taxes).scaleb(-2),
        "widths": Length(nets + ROWS),
        "rates": Fraction(taxes, 1_000_000),
        "widest": Length(max(net for net, _ in many()) + 1),
    }
    assert isinstance(sums["widths"], Length)
    assert LEDGER.filter(gross=F("net") + F("tax")).count() == ROWS


def test_every_exact_column_is_stored_as_an_integer() -> None:
    entry(
        price=usd("0.0005"), width=Length(5), cover=Area(7), rate=Fraction(1, 5)
    ).save()
    columns = [
        field.column
        for field in Ledger._meta.local_concrete_fields
        if field.get_internal_type() == "BigIntegerField"
    ]
    asked = "typeof" if connection.vendor == "sqlite" else "pg_typeof"

    with connection.cursor() as cursor:
        kinds = ", ".join(f"{asked}({column})" for column in columns)
        cursor.execute(f"SELECT {kinds} FROM {Ledger._meta.db_table}")
        stored = {str(kind) for kind in cursor.fetchone()}

    assert len(columns) == 9
    assert stored == {"integer" if connection.vendor == "sqlite" else "bigint"}


def test_values_come_back_as_they_went() -> None:
    columns = {
        "price": usd("0.0005"),
        "width": Length.inch("75 1/2"),
        "cover": Length.inch(12).by(Length.inch(12)),
        "rate": Fraction("0.0825"),
        "content": Fraction("22.679618"),
        "hours": Fraction("1.125"),
    }
    made = entry("12.50", "1.03", **columns)
    made.full_clean()
    made.save()

    row = LEDGER.get()

    assert {name: getattr(row, name) for name in columns} == columns
    assert isinstance(row.gross, Money)
    assert row.gross == usd("13.53")
    assert hash(row.gross) == hash(usd("13.53"))
    assert amounts.extend(row.net, Fraction(1)) == usd("12.50")


def test_a_deferred_column_is_fetched_when_asked_for() -> None:
    entry("12.50").save()

    assert LEDGER.only("id").get().net == usd("12.50")
    assert LEDGER.defer("net_currency").get().net == usd("12.50")


def test_nothing_is_nothing_and_takes_its_currency_with_it() -> None:
    row = entry(price=usd("2"))
    row.save()
    row.price = None
    row.save()

    row = LEDGER.get()

    assert (row.price, row.price_currency, row.width) == (None, None, None)


def test_a_filter_by_money_compares_the_currency_too() -> None:
    entry("12.50").save()

    assert LEDGER.filter(net=usd("12.5")).count() == 1
    assert LEDGER.filter(net=Money("12.5", "EUR")).count() == 0
    assert LEDGER.filter(Q(net__lte=usd("12.51"))).count() == 1
    assert LEDGER.filter(Q(net__lte=Money("12.51", "EUR"))).count() == 0
    assert LEDGER.exclude(net=Money("12.5", "EUR")).count() == 1


def test_lengths_filter_and_sort() -> None:
    for inches in (75, 12, 36):
        entry(width=Length.inch(inches)).save()

    assert LEDGER.filter(width__gte=Length.inch(36)).count() == 2
    assert LEDGER.filter(width__in=[Length.inch(12)]).count() == 1
    assert LEDGER.order_by("width").first().width == Length(12 * INCH)


def test_arithmetic_that_would_mix_units_is_refused() -> None:
    entry().save()

    with pytest.raises(FieldError):
        LEDGER.update(tax=F("tax") + 1)
    with pytest.raises(FieldError):
        LEDGER.filter(net__in=[usd("1")]).count()
    with pytest.raises(TypeError, match="takes Money"):
        Ledger(net=F("tax"))


@pytest.mark.parametrize("amount", ["NaN", "Infinity", "-Infinity", "1.00001", "1e15"])
def test_what_is_no_amount_is_refused_by_form_and_by_database(amount: str) -> None:
    row = entry()
    row.tax = Money(Decimal(amount), "USD")

    with pytest.raises(ValidationError) as refusal:
        row.full_clean()
    assert "tax" in refusal.value.message_dict
    with pytest.raises(OutOfRange):
        row.save()


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("net", 1.5), ("net", "1.50"), ("net", 1), ("price", True),
    ],
)  # fmt: skip
def test_money_takes_nothing_but_money(name: str, value: object) -> None:
    with pytest.raises(TypeError, match="takes Money"):
        setattr(entry(), name, value)


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("width", 3), ("width", "75"), ("width", 1.5), ("width", Area(3)),
        ("cover", Length(3)), ("cover", 7), ("rate", 0.2), ("rate", "0.2"),
        ("hours", Decimal("1.5")), ("rate", True),
    ],
)  # fmt: skip
def test_an_exact_column_takes_only_its_own_type(name: str, value: object) -> None:
    row = entry()
    setattr(row, name, value)

    with pytest.raises(ValidationError) as refusal:
        row.full_clean()
    assert name in refusal.value.message_dict
    with pytest.raises(TypeError):
        row.save()


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("rate", Fraction(1, 3)),
        ("hours", Fraction(1, 2000)),
        ("width", Length(2**63)),
        ("cover", Area(2**63)),
    ],
)
def test_what_a_column_cannot_keep_is_refused_and_never_rounded(
    name: str, value: object
) -> None:
    row = entry()
    setattr(row, name, value)

    with pytest.raises(OutOfRange):
        row.save()


def test_a_rate_is_rounded_where_it_is_seen() -> None:
    assert RateField.nearest(Fraction(1, 3)) == Fraction(333_333, 1_000_000)
    assert HoursField.nearest(Fraction(1, 2000)) == Fraction(1, 1000)


def test_a_default_is_a_fraction_before_it_is_saved() -> None:
    assert isinstance(entry().rate, Fraction)


def broken(net: Money, tax: Money, gross: Money, **columns: Any) -> None:
    with pytest.raises(IntegrityError), transaction.atomic():
        LEDGER.create(net=net, tax=tax, gross=gross, **columns)


def test_the_database_refuses_half_cents_wrong_sums_and_unknown_currencies() -> None:
    broken(usd("1.005"), usd("0"), usd("1.005"))
    broken(Money("1.5", "JPY"), Money("0", "JPY"), Money("1.5", "JPY"))
    broken(usd("1"), usd("0.01"), usd("1.02"))
    broken(usd("1"), usd("0"), usd("1"), price=Money("1", "XAU"))
    broken(Money("1", "ZAR"), usd("0"), usd("1"))
    broken(usd("1"), usd("0"), usd("1"), width=Length(0))

    LEDGER.create(net=Money("1", "JPY"), tax=Money("0", "JPY"), gross=Money("1", "JPY"))
    LEDGER.create(
        net=Money("1.005", "KWD"), tax=Money("0", "KWD"), gross=Money("1.005", "KWD")
    )


def test_a_form_hears_of_half_cents_and_unknown_currencies_in_a_sentence() -> None:
    row = entry()
    row.net = row.gross = usd("1.005")
    with pytest.raises(ValidationError, match="more decimals than its currency"):
        row.full_clean()

    row = entry()
    row.net = Money("1", "ZAR")
    with pytest.raises(ValidationError, match="not a currency this program keeps"):
        row.full_clean()


def test_a_currency_changed_behind_the_money_is_refused() -> None:
    row = entry()
    assert row.net == usd("1.00")
    row.net_currency = "EUR"  # type: ignore[attr-defined]

    with pytest.raises(MixedCurrencies):
        row.save()


def test_a_dump_reads_back() -> None:
    row = entry("12.50", price=usd("0.0005"), width=Length.inch("1/64"))
    row.save()

    text = serializers.serialize("json", [LEDGER.get()])
    fields = serializers.serialize("python", [LEDGER.get()])[0]["fields"]

    assert '"762 ticks"' in text
    read = Ledger(
        **{
            field.attname: field.to_python(fields[field.name])
            for field in Ledger._meta.local_concrete_fields
            if field.name in fields
        }
    )
    assert (read.net, read.price, read.width) == (row.net, row.price, row.width)


def ledger_state() -> ProjectState:
    """Return what a migration would know of the table."""
    state = ProjectState()
    state.add_model(ModelState.from_model(Ledger))
    return state


def test_a_migration_holds_every_column_and_sees_no_change_afterwards() -> None:
    created = MigrationAutodetector(ProjectState(), ledger_state())._detect_changes()
    text = MigrationWriter(created["materials"][0]).as_string()

    assert text.count("MoneyField(") == text.count("CurrencyField(") == 4
    assert "FloatField" not in text
    assert "DecimalField" not in text
    again = MigrationAutodetector(ledger_state(), ledger_state())._detect_changes()
    assert again == {}
    known = ledger_state().apps.get_model("materials", "Ledger")
    assert known._meta.get_field("net_currency").max_length == 3


@pytest.fixture(scope="module")
def grown(django_db_setup: None, django_db_blocker: Any) -> Iterator[Any]:
    """Create a table and give it a money column, as two migrations would."""
    made = migrations.CreateModel("Grown", [("id", models.AutoField(primary_key=True))])
    added = [
        migrations.AddField("grown", "cost", MoneyField(null=True)),
        migrations.AddField("grown", "cost_currency", CurrencyField(null=True)),
    ]
    state = ProjectState()
    with django_db_blocker.unblock():
        for operation in (made, *added):
            before = state.clone()
            operation.state_forwards("materials", state)
            with connection.schema_editor() as editor:
                operation.database_forwards("materials", editor, before, state)
        model = state.apps.get_model("materials", "Grown")
        yield model
        with connection.schema_editor() as editor:
            editor.delete_model(model)


def test_a_money_column_can_be_added_to_a_table_that_stands(grown: Any) -> None:
    grown.objects.create(cost=usd("12.50"), cost_currency="USD")

    assert grown.objects.get().cost == usd("12.50")
    assert [field.name for field in grown._meta.get_fields()] == [
        "id",
        "cost",
        "cost_currency",
    ]
