"""A table of prices taken in: kept as it came, judged row by row, all or nothing."""

from __future__ import annotations

import hashlib
from collections import Counter
from collections.abc import Sequence
from typing import Any

from django.core.files.uploadedfile import UploadedFile
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from materials.core.amounts import from_units
from materials.core.chain import digest_of
from materials.core.errors import Refusal
from materials.core.tables import comma, workbook
from materials.core.tables.cells import MOST_BYTES
from materials.core.tables.price_changes import compared
from materials.core.tables.price_columns import PriceRow, read_rows
from materials.core.tables.price_records import (
    Outcome,
    PackStep,
    PriceStep,
    ProductStep,
    Step,
)
from materials.core.tables.price_standing import PackKey, pack_key
from materials.models import (
    Business,
    Material,
    Pack,
    Person,
    Price,
    StoredFile,
    Supplier,
)
from materials.queries.pricelist import stored_price_list
from materials.services.keeping import audit, file_bytes, keep_bytes, once
from materials.services.security import note

CSV = "text/csv"
XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
ZIP = "application/zip"
"""What a workbook is kept under: its own type is longer than the column of a table
that no change may touch."""
SHEETS = (CSV, ZIP)


@transaction.atomic
def keep_sheet(
    *, upload: UploadedFile[Any], person: Person | None, key: str
) -> StoredFile:
    """Keep a table as it came, once its rows can be read.

    Raises: Refusal for a file that is no table, or has no column of ours.
    """
    data = b"" if (upload.size or 0) > MOST_BYTES else upload.read()
    payload = {"sheet": hashlib.sha256(data).hexdigest()}
    claim = once(key=key, purpose="keep price table", person=person, payload=payload)
    if claim.outcome:
        return StoredFile.objects.get(pk=claim.outcome)
    try:
        if not data and upload.size:
            raise Refusal(
                _("The file is larger than 5 MB; split the table in two."),
                field="sheet",
            )
        _rows(data)
    except Refusal as refusal:
        who = person.pk if person is not None else None
        note("upload refused", None, who=who, why=refusal.sentence, size=upload.size)
        raise
    media_type = ZIP if data.startswith(workbook.MAGIC) else CSV
    kept = keep_bytes(
        data=data, media_type=media_type, name=upload.name or "", person=person
    )
    claim.settle(kept.pk)
    return kept


def _rows(data: bytes) -> list[PriceRow]:
    reader = workbook if data.startswith(workbook.MAGIC) else comma
    return read_rows(reader.read(data))


def judge_sheet(sheet: StoredFile) -> tuple[Outcome, ...]:
    """Return what a kept table would do to the price list as it stands now."""
    retired = Material.objects.filter(in_use=False).values_list("code", flat=True)
    return compared(
        _rows(file_bytes(sheet)),
        stored_price_list(),
        system=Business.objects.get(pk=1).system,
        today=timezone.localdate(),
        retired=list(retired),
    )


def digest_of_outcomes(outcomes: Sequence[Outcome]) -> str:
    """Return what tells whether a table would still do what was shown."""
    return digest_of(
        [(one.line, one.verdict, one.before, one.after, one.sentence)
         for one in outcomes]
    )  # fmt: skip


@transaction.atomic
def take_sheet(
    *, sheet: StoredFile, shown: str, person: Person | None, key: str
) -> int:
    """Do what a table was shown to do: every row that is not refused, or none.

    Returns how many rows changed something. `shown` is `digest_of_outcomes` of what
    the person saw.
    Raises: Refusal if the price list has changed since, or the rows do not fit.
    """
    payload = {"sheet": sheet.digest, "shown": shown}
    claim = once(key=key, purpose="take price table", person=person, payload=payload)
    if claim.outcome:
        return int(claim.outcome)
    # One table at a time: the second one is judged against what the first one left.
    Business.objects.select_for_update().get(pk=1)
    outcomes = judge_sheet(sheet)
    if digest_of_outcomes(outcomes) != shown:
        raise Refusal(
            _("The price list has changed since this was shown; look at it again.")
        )
    taken = [one for one in outcomes if one.steps]
    _take([step for one in taken for step in one.steps], sheet, person)
    audit(
        action="take price table",
        subject=f"file {sheet.digest[:12]}",
        person=person,
        facts={
            "name": sheet.original_name,
            "rows": Counter(one.verdict for one in outcomes),
            "prices": [[one.line, one.before, one.after] for one in taken[:500]],
        },
    )
    claim.settle(len(taken))
    return len(taken)


def _take(steps: list[Step], sheet: StoredFile, person: Person | None) -> None:
    products = _take_products([one for one in steps if isinstance(one, ProductStep)])
    packs = [one for one in steps if isinstance(one, PackStep)]
    prices = [one for one in steps if isinstance(one, PriceStep)]
    named = [one.code for one in packs] + [one.code for one in prices]
    codes = {code.casefold() for code in named} - set(products)
    if codes:
        products |= {
            row.code.casefold(): row
            for row in Material.objects.filter(in_use=True)
            if row.code.casefold() in codes
        }
    found = _take_packs(packs, products)
    _take_prices(prices, found, sheet, person)


def _take_products(steps: list[ProductStep]) -> dict[str, Material]:
    """Add and change products; return them by code. The last word on one counts."""
    last = {step.code.casefold(): step for step in steps}
    new = {step.code.casefold() for step in steps if step.is_new}
    rows = {
        row.code.casefold(): row
        for row in Material.objects.filter(code__in=[s.code for s in last.values()])
    }
    for code, step in last.items():
        row = rows.get(code) or Material(code=step.code, kind=step.kind)
        row.name, row.facts = step.name, dict(step.facts)
        rows[code] = row
    Material.objects.bulk_create(rows[code] for code in last if code in new)
    Material.objects.bulk_update(
        [rows[code] for code in last if code not in new], ["name", "facts"],
        batch_size=500,
    )  # fmt: skip
    return rows


def _take_packs(
    steps: list[PackStep], products: dict[str, Material]
) -> dict[PackKey, Pack]:
    """Add packs, and merchants that are new; return all packs of the products."""
    merchants = {row.name.casefold(): row for row in Supplier.objects.all()}
    new = {step.supplier.casefold(): step.supplier for step in steps}
    merchants |= {
        row.name.casefold(): row
        for row in Supplier.objects.bulk_create(
            Supplier(name=name) for key, name in new.items() if key not in merchants
        )
    }
    Pack.objects.bulk_create(
        Pack(
            material=products[step.code.casefold()],
            supplier=merchants[step.supplier.casefold()],
            supplier_code=step.supplier_code,
            label=step.label,
            content=step.content,
            lead_days=step.lead_days,
            special_order=step.special_order,
            returnable=step.returnable,
        )
        for step in steps
    )
    rows = Pack.objects.filter(in_use=True).select_related("supplier", "material")
    return {
        pack_key(row.material.code, row.supplier.name, row.label): row for row in rows
    }


def _take_prices(
    steps: list[PriceStep],
    packs: dict[PackKey, Pack],
    sheet: StoredFile,
    person: Person | None,
) -> None:
    """Enter prices; one of the same pack, day and break replaces the first."""
    currency = Business.objects.get(pk=1).currency
    origin = sheet.original_name or _("a table")
    rows = []
    for step in steps:
        key, price = pack_key(step.code, step.supplier, step.label), step.price
        rows.append(
            Price(
                pack=packs[key],
                valid_from=price.valid_from,
                valid_until=price.valid_until,
                least_packs=price.least_packs,
                amount=from_units(price.amount, currency),
                origin=price.origin or origin,
                entered_by=person,
            )
        )
    Price.objects.bulk_create(
        rows,
        batch_size=500,
        update_conflicts=True,
        unique_fields=["pack", "valid_from", "least_packs"],
        update_fields=["valid_until", "amount", "origin", "entered_by"],
    )
