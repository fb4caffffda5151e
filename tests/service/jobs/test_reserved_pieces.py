"""Pieces of the rack kept for a job: from its acceptance until it used or left them."""

from __future__ import annotations

from typing import Any
from urllib.parse import parse_qsl

import pytest
from django.core.management import call_command
from django.db import IntegrityError, transaction
from django.urls import reverse
from django.utils import timezone

from jobs.models import Job
from jobs.services import change_state, use_offcut
from materials.core.amounts import extend
from materials.core.errors import Refusal
from materials.core.lengths import Length
from materials.models import AuditEntry, Offcut
from materials.queries.rack import usable_rack
from materials.services.rack import count_rack, write_off, write_off_stale
from materials.services.reserving import (
    RESERVED,
    release_offcut,
    release_offcuts,
    reserve_offcuts,
)
from quotes.models import Revision, Visit
from quotes.queries.estimating import racked_of
from quotes.services.visit_files import take_visit_file
from tests.service.office import (
    accepted,
    ada,
    an_offer,
    ben,
    new_key,
    send,
    signed_in,
    text_of,
)
from tests.service.quotes.test_cut_list import a_shower, recess, use_the_rack

pytestmark = pytest.mark.django_db


def another_visit() -> Visit:
    plain = recess()
    plain["title"] = "The same next door"
    return take_visit_file(data=plain, person=ada(), key=new_key())


def piece() -> Offcut:
    return Offcut.objects.get()


def verdict(visit: Visit) -> str:
    return text_of(signed_in(ben()), "cut-list", visit.uid)


def closed(job: Job) -> None:
    for state in ("on_site", "snagging", "complete", "closed"):
        change_state(job=job, state=state, person=ada(), at=timezone.now())


def test_an_offer_reserves_nothing_and_its_acceptance_does() -> None:
    visit = a_shower()
    use_the_rack()
    offer = an_offer(visit)
    assert offer.inputs["racked"] == [str(piece().uid)]
    assert piece().reserved_for == ""
    assert "not reserved yet" in verdict(visit)

    job = accepted(offer)

    row = piece()
    assert (row.reserved_for, row.reserved_visit) == (job.number, visit.uid)
    step = AuditEntry.objects.get(action=RESERVED)
    assert step.facts["offcuts"] == [str(row.uid)]
    assert step.facts["job"] == job.number
    call_command("verify_books")


def test_another_visit_plans_without_it_and_its_own_goes_on_with_it() -> None:
    visit = a_shower()
    use_the_rack()
    job = accepted(an_offer(visit))

    assert "1 kept piece" in verdict(visit)
    assert f"reserved for job {job.number}." in verdict(visit)
    assert "3 sheets; 2 cannot be enough." in verdict(another_visit())
    assert usable_rack() == []
    assert [row["mark"] for row in usable_rack(visit.uid)] == [piece().mark]


def test_the_second_of_two_offers_is_told_that_the_piece_is_gone() -> None:
    first, second = a_shower(), another_visit()
    use_the_rack()
    offers = [an_offer(first), an_offer(second)]
    one, two = (accepted(offer) for offer in offers)

    assert piece().reserved_for == one.number
    page = text_of(signed_in(ben()), "job", two.number)
    assert f"reserved for job {one.number}." in page
    assert "?piece=" not in page
    assert f"reserved for job {one.number}." in text_of(
        signed_in(ben()), "job-cut-list", two.number
    )
    with pytest.raises(Refusal, match=f"reserved for job {one.number}"):
        use_offcut(job=two, offcut=piece(), on=timezone.localdate(), person=ben(),
                   key=new_key())  # fmt: skip


def test_pages_say_for_whom_and_a_tap_takes_it_into_the_job() -> None:
    visit = a_shower()
    use_the_rack()
    job = accepted(an_offer(visit))
    browser = signed_in(ben())

    rack = text_of(browser, "rack")
    assert f"reserved for job {job.number}" in rack
    assert reverse("job", args=[job.number]) in rack
    page = text_of(browser, "job", job.number)
    assert "reserved for this job. Take it into the job when you cut it." in page
    assert f"?piece={piece().pk}" in page
    form = browser.get(reverse("use-offcut", args=[job.number]), {"piece": piece().pk})
    assert f'<option value="{piece().pk}" selected>{piece().mark} ' in (
        form.content.decode()
    )

    send(browser, "use-offcut", job.number, offcut=piece().pk, on="2026-05-22")

    assert (piece().state, piece().reserved_for) == ("used", "")
    assert piece().reserved_visit is None
    assert "counts on these pieces" not in text_of(browser, "job", job.number)
    assert f"{piece().mark}: taken into this job." in text_of(
        browser, "job-cut-list", job.number
    )
    call_command("verify_books")


def test_a_job_that_is_closed_without_it_lets_it_go() -> None:
    visit = a_shower()
    use_the_rack()
    job = accepted(an_offer(visit))

    closed(job)

    assert piece().reserved_for == ""
    assert "1 kept piece" in verdict(another_visit())
    last = AuditEntry.objects.filter(action=RESERVED).latest("seq")
    assert (last.facts["job"], last.facts["offcuts"]) == ("", [str(piece().uid)])
    call_command("verify_books")


def test_the_owner_lets_a_piece_go_once() -> None:
    visit = a_shower()
    use_the_rack()
    job = accepted(an_offer(visit))
    key = new_key()
    owner = signed_in(ada())

    for _twice in range(2):
        said = send(owner, "release-offcut", piece().uid, request_key=key)
        assert said.status_code == 302
        assert "is free for any job again" in text_of(owner, "rack")

    assert piece().reserved_for == ""
    with pytest.raises(Refusal, match="not reserved any more"):
        release_offcut(offcut=piece(), person=ada(), key=new_key())
    assert "not reserved. Take it into the job" in text_of(owner, "job", job.number)
    assert AuditEntry.objects.filter(action=RESERVED).count() == 2


def test_a_reserved_piece_is_not_written_off_and_is_missed_when_it_is_not_there() -> (
    None
):
    visit = a_shower()
    use_the_rack()
    job = accepted(an_offer(visit))
    on = timezone.localdate()

    with pytest.raises(Refusal, match=f"reserved for job {job.number}; let it go"):
        write_off(offcut=piece(), reason="wet", on=on, person=ada(), key=new_key())
    later = on.replace(year=on.year + 3)
    assert write_off_stale(on=later, person=ada(), key=new_key())[0] == 0

    count_rack(found=[], missing=[piece().uid], on=on, person=ben(), key=new_key())

    assert (piece().state, piece().reserved_for) == ("not_found", "")
    page = text_of(signed_in(ben()), "job", job.number)
    assert "no longer on the rack (not found when counted). Buy new in its" in page
    call_command("verify_books")


def test_asked_again_nothing_more_is_reserved() -> None:
    visit = a_shower()
    use_the_rack()
    row = piece()
    asked: dict[str, Any] = {"visit": visit.uid, "person": ada()}

    keys = [str(row.uid)]
    assert reserve_offcuts(keys=keys, job="J-1", **asked) == [row]
    assert reserve_offcuts(keys=keys, job="J-1", **asked) == []
    assert reserve_offcuts(keys=keys, job="J-2", **asked) == []
    assert release_offcuts(job="J-2", reason="", person=ada()) == []
    assert piece().reserved_for == "J-1"


def test_a_piece_off_the_rack_is_reserved_for_nobody() -> None:
    a_shower()
    row = use_the_rack()

    with pytest.raises(IntegrityError), transaction.atomic():
        Offcut.objects.filter(pk=row.pk).update(state="used", reserved_for="J-1")


def test_a_quote_from_before_pieces_were_noted_is_worked_out_once_more() -> None:
    visit = a_shower()
    use_the_rack()
    offer = an_offer(visit)
    inputs = dict(offer.inputs)
    noted = inputs.pop("racked")
    older = Revision(inputs=inputs, priced_on=offer.priced_on)

    assert noted == [str(piece().uid)]
    assert racked_of(older) == noted
    assert racked_of(Revision(inputs={})) == []


def test_books_find_a_reservation_that_no_step_made(
    capsys: pytest.CaptureFixture[str],
) -> None:
    visit = a_shower()
    use_the_rack()
    Offcut.objects.update(reserved_for="J-9", reserved_visit=visit.uid)

    with pytest.raises(SystemExit):
        call_command("verify_books")
    assert "it is not reserved for whom it was kept" in capsys.readouterr().out


def test_the_rests_that_the_plan_leaves_are_offered_to_be_kept() -> None:
    visit = a_shower()
    job = accepted(an_offer(visit))
    owner, setter = signed_in(ada()), signed_in(ben())

    shown = owner.get(reverse("keep-offcut", args=[job.number]))

    left = shown.context["left"]
    (roll,) = [row for row in left if "sheet membrane, Roll 1" in row.text][:1]
    (band,) = [row for row in left if "Sealing band" in row.text][:1]
    assert "Roll 1: 1000\xa0mm × " in roll.text
    assert " × " not in band.text
    for row in (roll, band):
        fields = dict(parse_qsl(row.query))
        filled = owner.get(f"{reverse('keep-offcut', args=[job.number])}?{row.query}")
        for name in ("height", "line"):
            assert f'value="{fields[name]}"' in filled.content.decode()
        answer = setter.post(
            reverse("keep-offcut", args=[job.number]),
            {**fields, "on": "2026-05-22", "request_key": new_key()},
        )
        assert answer.status_code == 302

    again = owner.get(reverse("keep-offcut", args=[job.number])).context["left"]
    assert [row for row in left if row not in (roll, band)] == list(again)
    rest, band_rest = Offcut.objects.order_by("pk")
    assert (rest.width, rest.lot) == (Length.mm(1000), "")
    for kept in (rest, band_rest):
        line = job.budget_lines.get(material=kept.material)
        share = kept.height.in_m / line.quantity
        assert kept.cost_carried == extend(line.cost, share)
        assert kept.cost_carried.amount > 0
    rack = text_of(setter, "rack")
    assert "Rolls and lengths" in rack
    assert str(rest.cost_carried.amount) not in rack
    page = text_of(setter, "keep-offcut", job.number)
    assert 'name="value"' not in page
    assert 'name="value"' in text_of(owner, "keep-offcut", job.number)
