"""The price list as a table: handed out, brought in, shown, and taken or not."""

from __future__ import annotations

import json
import logging
from datetime import date, timedelta
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from materials.core.tables import comma, workbook
from materials.models import AuditEntry, Material, Pack, Price, StoredFile, Supplier
from tests.service.office import (
    a_pack,
    a_stocked_business,
    a_supplier,
    ada,
    ben,
    faults,
    new_key,
    olive,
    pounds,
    signed_in,
    text_of,
)

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _kept_files(settings: Any, tmp_path: Any) -> None:
    settings.MEDIA_ROOT = tmp_path


def brought(text: str | bytes, *, name: str = "prices.csv", key: str = "") -> Any:
    data = text if isinstance(text, bytes) else text.encode()
    return signed_in(olive()).post(
        reverse("price-sheet"),
        {
            "sheet": SimpleUploadedFile(name, data),
            "request_key": key or new_key(),
        },
    )


def shown(response: Any) -> tuple[str, str]:
    """Return the page of a table brought in, and what its button sends."""
    assert response.status_code == 302, faults(response)
    page = signed_in(olive()).get(response.headers["Location"]).content.decode()
    sent = page.split('name="shown" value="')
    return page, sent[1].split('"')[0] if len(sent) > 1 else ""


def take(response: Any, digest: str, key: str = "") -> Any:
    data = {"shown": digest, "request_key": key or new_key()}
    return signed_in(olive()).post(response.headers["Location"], data)


def test_the_list_goes_out_and_comes_back_without_a_change() -> None:
    a_stocked_business()
    before = Price.objects.count()
    for form in ("csv", "xlsx"):
        out = signed_in(olive()).get(reverse("price-table-out", args=[form]))
        assert f".{form}" in out.headers["Content-Disposition"]

        page, digest = shown(brought(out.content, name=f"back.{form}"))

        assert "Nothing would change." in page
        assert digest == ""
    assert Price.objects.count() == before > 0


def test_new_prices_are_shown_first_and_taken_on_the_word() -> None:
    pack = a_pack()
    upload = brought("code,price,valid_from\nGR-7,13.95,2026-06-01\nGR-8,4,\n")

    page, digest = shown(upload)

    assert "12.40" in page
    assert "13.95" in page
    assert "no product GR-8" in page
    assert "1 line is left out" in page
    assert Price.objects.count() == 1

    assert take(upload, digest).status_code == 302

    new = Price.objects.get(pack=pack, valid_from=date(2026, 6, 1))
    assert (new.amount, new.entered_by, new.origin) == (
        pounds("13.95"), olive(), "prices.csv",
    )  # fmt: skip
    step = AuditEntry.objects.get(action="take price table")
    assert step.facts["rows"] == {"changed": 1, "refused": 1}


def test_products_packs_and_merchants_come_with_a_table() -> None:
    a_pack()
    upload = brought(
        "code,name,kind,facts,merchant,pack,holds,price,valid_from\n"
        "TL-9,Stone tile,tile,length = 600; width = 300; thickness = 9; joint = 3,"
        "Harrow Lane,box of 6,6,38.40,2026-03-01\n"
        "TL-9,,,,Harrow Lane,box of 9,9,55,2026-03-01\n"
    )
    _page, digest = shown(upload)
    take(upload, digest)

    tile = Material.objects.get(code="TL-9")
    assert tile.facts["length"] == "600"
    assert [pack.label for pack in tile.packs.all()] == ["box of 6", "box of 9"]
    assert Supplier.objects.filter(name="Harrow Lane").count() == 1
    assert Price.objects.filter(pack__material=tile).count() == 2


def test_the_same_table_twice_changes_nothing_twice() -> None:
    a_pack()
    text = "code,price,valid_from\nGR-7,13.95,2026-06-01\n"
    first = brought(text)
    _page, digest = shown(first)
    key = new_key()
    for _ in range(2):
        assert take(first, digest, key).status_code == 302
    prices = Price.objects.count()

    page, _digest = shown(brought(text))

    assert "Nothing would change." in page
    assert Price.objects.count() == prices == 2
    assert StoredFile.objects.count() == 1
    assert AuditEntry.objects.filter(action="take price table").count() == 1


def test_a_key_is_asked_for_and_good_for_one_content() -> None:
    a_pack()
    key = new_key()
    upload = brought("code,price\nGR-7,13.95\n", key=key)
    _page, digest = shown(upload)

    other = brought("code,price\nGR-7,14\n", key=key)
    lost = signed_in(olive()).post(upload.headers["Location"], {"shown": digest})

    assert "already sent with other content" in other.content.decode()
    assert "lost its key" in lost.content.decode()
    assert lost.status_code == 422
    assert Price.objects.count() == 1
    assert StoredFile.objects.count() == 1


def test_what_was_shown_is_what_is_taken_or_nothing() -> None:
    pack = a_pack()
    upload = brought("code,price,valid_from\nGR-7,13.95,2026-06-01\n")
    _page, digest = shown(upload)
    Price.objects.create(pack=pack, valid_from=date(2026, 6, 1), amount=pounds("13.50"))

    answer = take(upload, digest)

    assert answer.status_code == 422
    assert "has changed since this was shown" in answer.content.decode()
    assert "13.50" in answer.content.decode()
    assert Price.objects.filter(amount=pounds("13.95")).count() == 0


def test_all_or_nothing() -> None:
    a_pack()
    taken = Material.objects.create(code="TL-8", name="Old", kind="sealant", facts={})
    upload = brought("code,name,kind,price\nGR-7,,,13.95\nTL-7,Kerb,sealant,\n")
    _page, digest = shown(upload)
    # Somebody takes the code between the look and the word, out of use as it may be.
    Material.objects.filter(pk=taken.pk).update(code="TL-7", in_use=False)

    answer = take(upload, digest)

    assert answer.status_code == 422
    assert Price.objects.count() == 1


@pytest.mark.parametrize(
    ("data", "sentence"),
    [
        (b"", "The submitted file is empty."),
        (b"\x81\x8d\x00", "no table of text"),
        (b"PK\x03\x04 nothing", "cannot be read"),
        (b"colour,price\nred,1\n", "no column “colour”"),
        (b"code,price\n", "has no rows"),
        (b"code\n" + b"x" * (5 * 1024 * 1024), "larger than 5 MB"),
    ],
)
def test_what_is_no_table_is_refused_and_noted(
    data: bytes, sentence: str, caplog: Any
) -> None:
    a_pack()
    with caplog.at_level(logging.WARNING, "gaugerod.security"):
        answer = brought(data)

    assert answer.status_code == 422
    assert sentence in answer.content.decode()
    assert StoredFile.objects.count() == 0
    if data:
        noted = [json.loads(record.message)["event"] for record in caplog.records
                 if record.name == "gaugerod.security"]  # fmt: skip
        assert noted.count("upload refused") == 1


def test_names_that_look_like_formulas_leave_as_text_and_come_back() -> None:
    pack = a_pack()
    name = '=HYPERLINK("http://evil.test","grout")'
    Material.objects.filter(pk=pack.material_id).update(name=name)
    for form, reader in (("csv", comma), ("xlsx", workbook)):
        out = signed_in(olive()).get(reverse("price-table-out", args=[form])).content
        assert reader.read(out)[1][1] == name
        if form == "csv":
            assert b"'=HYPERLINK" in out


def test_a_setter_gets_no_table_also_not_by_its_digest() -> None:
    a_pack()
    upload = brought("code,price\nGR-7,13.95\n")
    stored = StoredFile.objects.get()
    place = reverse("kept-file", args=[stored.digest])

    assert signed_in(ben()).get(place).status_code == 404
    assert signed_in(ben()).get(upload.headers["Location"]).status_code == 403
    kept = signed_in(ada()).get(place)
    assert kept.headers["Content-Disposition"].endswith('.csv"')


def test_a_photo_is_no_table() -> None:
    a_pack()
    photo = StoredFile.objects.create(digest="a" * 64, media_type="image/jpeg", size=1)

    place = reverse("judged-sheet", args=[photo.digest])

    assert signed_in(olive()).get(place).status_code == 404


def test_a_merchant_s_two_thousand_prices_take_few_queries() -> None:
    a_pack()
    supplier = a_supplier()
    Material.objects.bulk_create(
        Material(code=f"X-{n}", name="X", kind="sealant", facts={})
        for n in range(2_000)
    )
    Pack.objects.bulk_create(
        Pack(material=row, supplier=supplier, label="tube", content=1)
        for row in Material.objects.filter(kind="sealant")
    )
    table = "code,price\n" + "".join(f"X-{n},{n + 1}\n" for n in range(2_000))
    upload = brought(table)
    _page, digest = shown(upload)

    with CaptureQueriesContext(connection) as queries:
        take(upload, digest)

    assert Price.objects.count() == 2_001
    assert len(queries) < 100


def test_the_way_there_stands_on_the_price_list() -> None:
    a_pack()

    assert "As a table" in text_of(signed_in(olive()), "price-list")
    assert "merchant_code" in text_of(signed_in(olive()), "price-sheet")


def test_a_price_without_a_day_holds_from_today() -> None:
    a_pack()
    upload = brought("code,price\nGR-7,13.95\n")
    _page, digest = shown(upload)
    take(upload, digest)

    today = timezone.localdate()
    assert Price.objects.filter(valid_from=today).count() == 1
    assert not Price.objects.filter(valid_from__gt=today + timedelta(days=1)).exists()
