"""The rack: pieces by hand, the stock-take, what is written off, who sees money."""

from __future__ import annotations

from datetime import date, timedelta
from fractions import Fraction
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from materials import services
from materials.core.errors import OutOfRange, Refusal
from materials.core.lengths import Length
from materials.models import AuditEntry, Business, Material, Offcut
from materials.services.rack import RackEntry
from tests.service.office import (
    a_stocked_business,
    ada,
    ben,
    new_key,
    pounds,
    send,
    signed_in,
    text_of,
)

pytestmark = pytest.mark.django_db

TODAY = date(2026, 11, 25)
mm = Length.mm


def a_board() -> Material:
    if not Business.objects.exists():
        a_stocked_business()
    return Material.objects.get(code="BB-FOAM-M")


def a_piece(value: str = "12.50", *, on: date = TODAY, **changes: Any) -> Offcut:
    entry = {
        "material": a_board(),
        "width": mm(600),
        "height": mm(900),
        "value": pounds(value),
        "origin": "the hall of last year",
        "place": "van, left",
    }
    return services.add_offcut(
        entry=RackEntry(**{**entry, **changes}),  # type: ignore[arg-type]
        on=on,
        person=ada(),
        key=new_key(),
    )


def count(found: list[Offcut], missing: list[Offcut], key: str = "") -> Any:
    return services.count_rack(
        found=[row.uid for row in found],
        missing=[row.uid for row in missing],
        on=TODAY,
        person=ben(),
        key=key or new_key(),
    )


def test_a_piece_by_hand_takes_the_thickness_of_its_sheet() -> None:
    row = a_piece()

    row.refresh_from_db()
    assert row.thickness == mm("12.5")
    assert (row.origin, row.place, row.state) == (
        "the hall of last year",
        "van, left",
        "on_rack",
    )


def test_the_same_request_puts_one_piece_there() -> None:
    entry = RackEntry(
        material=a_board(), width=mm(600), height=mm(900), value=pounds("1.00")
    )
    key = new_key()

    rows = {
        services.add_offcut(entry=entry, on=TODAY, person=ada(), key=key).pk
        for _ in range(2)
    }

    assert len(rows) == Offcut.objects.count() == 1


def test_an_l_keeps_its_corners() -> None:
    row = a_piece(notch=(mm(200), mm(300)))

    row.refresh_from_db()
    t = 1920
    assert row.outline == [
        [0, 0],
        [600 * t, 0],
        [600 * t, 600 * t],
        [400 * t, 600 * t],
        [400 * t, 900 * t],
        [0, 900 * t],
    ]


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"width": mm(0)}, "width"),
        ({"notch": (mm(600), mm(10))}, "notch_width"),
    ],
)
def test_what_cannot_be_is_refused_beside_its_field(
    changes: dict[str, Any], field: str
) -> None:
    with pytest.raises(OutOfRange) as refused:
        a_piece(**changes)

    assert refused.value.field == field
    assert not Offcut.objects.exists()


def test_a_stock_take_dates_what_is_there_and_loses_what_is_not() -> None:
    here, gone, unseen = a_piece(), a_piece("7.25"), a_piece()
    key = new_key()

    first, again = count([here], [gone], key), count([here], [gone], key)

    assert first == again
    assert (first.found, first.missing, first.lost) == (1, 1, pounds("7.25"))
    states = dict(Offcut.objects.values_list("pk", "state"))
    assert states == {
        here.pk: "on_rack",
        gone.pk: "not_found",
        unseen.pk: "on_rack",
    }
    here.refresh_from_db()
    unseen.refresh_from_db()
    assert (here.counted_on, unseen.counted_on) == (TODAY, None)
    assert AuditEntry.objects.filter(action="rack counted").count() == 1


def test_a_piece_cannot_be_here_and_missing() -> None:
    row = a_piece()

    with pytest.raises(Refusal, match="cannot be here and not be found"):
        count([row], [row])


def test_a_piece_is_written_off_once_with_a_reason() -> None:
    row = a_piece()

    def off(reason: str) -> Offcut:
        return services.write_off(
            offcut=row, reason=reason, on=TODAY, person=ada(), key=new_key()
        )

    with pytest.raises(Refusal, match="Say why"):
        off(" ")
    assert off("a corner broke").end_reason == "a corner broke"
    with pytest.raises(Refusal, match="no longer on the rack"):
        off("again")


def test_pieces_nobody_has_seen_for_long_leave_with_their_money() -> None:
    old = a_piece("3.00", on=TODAY - timedelta(days=400))
    seen = a_piece("4.00", on=TODAY - timedelta(days=400))
    fresh = a_piece("5.00")
    count([seen], [])

    number, money = services.write_off_stale(on=TODAY, person=ada(), key=new_key())

    assert (number, money) == (1, pounds("3.00"))
    states = dict(Offcut.objects.values_list("pk", "state"))
    assert states == {old.pk: "written_off", seen.pk: "on_rack", fresh.pk: "on_rack"}


def test_the_rules_are_the_owner_s_and_are_checked() -> None:
    a_board()
    browser = signed_in(ada())

    send(browser, "rack-rules", use="use", value="25", stale_days="180")

    row = Business.objects.get()
    assert (row.rack_use, row.rack_value, row.rack_stale_days) == (
        "use",
        Fraction(1, 4),
        180,
    )
    send(browser, "rack-rules", use="use", value="125", stale_days="180")
    assert Business.objects.get().rack_value == Fraction(1, 4)
    send(signed_in(ben()), "rack-rules", use="leave", expect=403)


def test_a_setter_reads_sizes_and_no_money() -> None:
    a_piece("12.50")

    owner, setter = (
        text_of(signed_in(who), "rack").replace("\u00a0", " ") for who in (ada(), ben())
    )

    for said in ("600 mm × 900 mm × 12.5 mm", "the hall of last year", "van, left"):
        assert said in owner
        assert said in setter
    assert "12.50" in owner
    assert "12.50" not in setter
    assert "Rules of the rack" not in setter


def test_a_setter_puts_a_piece_there_that_carries_nothing() -> None:
    board = a_board()

    send(
        signed_in(ben()),
        "add-piece",
        material=board.pk,
        width="300",
        height="450",
        value="99",
    )

    row = Offcut.objects.get()
    assert (row.width, row.cost_carried) == (mm(300), pounds("0.00"))


def test_half_a_notch_is_asked_for_and_nothing_typed_is_lost() -> None:
    board = a_board()
    browser = signed_in(ada())

    answer = browser.post(
        reverse("add-piece"),
        {
            "material": board.pk,
            "width": "300",
            "height": "450",
            "notch_width": "50",
            "value": "1",
            "request_key": new_key(),
        },
    )

    page = answer.content.decode()
    assert answer.status_code == 422
    assert "Give both sizes" in page
    assert 'value="450"' in page


def test_counting_on_the_page() -> None:
    row, other = a_piece(), a_piece()

    send(
        signed_in(ben()),
        "count-rack",
        **{f"piece-{row.uid}": "here", f"piece-{other.uid}": "missing"},
    )

    row.refresh_from_db()
    other.refresh_from_db()
    assert row.counted_on == timezone.localdate()
    assert other.state == "not_found"
    assert "not found when counted" in text_of(signed_in(ada()), "rack")


def test_the_rack_takes_as_many_queries_for_twenty_pieces_as_for_one() -> None:
    a_piece()
    browser = signed_in(ada())
    browser.get(reverse("rack"))

    def queries() -> int:
        with CaptureQueriesContext(connection) as captured:
            assert browser.get(reverse("rack")).status_code == 200
        return len(captured)

    one = queries()
    for _ in range(19):
        a_piece()

    assert queries() == one == 8


def test_writing_off_on_the_page_is_the_owner_s() -> None:
    row = a_piece()

    send(signed_in(ben()), "write-off", row.uid, reason="x", expect=403)
    send(signed_in(ada()), "write-off", row.uid, reason="a corner broke")
    send(signed_in(ada()), "write-off-stale")

    row.refresh_from_db()
    assert (row.state, row.end_reason) == ("written_off", "a corner broke")
