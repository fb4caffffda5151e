"""A flight of stairs in a visit: its file, its cut list, its set-out, its price."""

from __future__ import annotations

import io
import json
from typing import Any

import pytest
from django.core.management import call_command
from django.urls import reverse
from pypdf import PdfReader

from quotes.models import Surface, Visit
from quotes.presenters.set_out_choices import tiled_parts
from quotes.services.visit_files import take_visit_file
from tests.builders import a_flight, a_hall
from tests.service.office import (
    a_stocked_business,
    ada,
    ben,
    new_key,
    send,
    signed_in,
    text_of,
)

pytestmark = pytest.mark.django_db


def a_hall_with_stairs(**shape: Any) -> dict[str, Any]:
    """Return the hall with a flight of its tile, 9 mm thick, and profiles on it."""
    document = a_hall()
    (build_up,) = document["build_ups"]
    flight = {**a_flight(tile="9", **shape), "build_up": build_up}
    document["spaces"][0]["surfaces"].append(flight)
    return document


def kept(**shape: Any) -> Visit:
    """Store the flight with the starter list's goods."""
    a_stocked_business()
    document = a_hall_with_stairs(**shape)
    (build_up,) = document["build_ups"].values()
    goods = {"bed": "AD-FLEX", "tile": "TL-ST-L", "grout": "GR-CEM"}
    build_up["layers"] = [
        {"role": role, "material": code} for role, code in goods.items()
    ]
    build_up["layers"].append({"role": "trim", "material": "TR-SQ-10"})
    notch = {"kind": "square", "width": "10", "depth": "10"}
    build_up["layers"][0]["notch"] = notch
    build_up["layers"][1]["pattern"] = {"name": "stack"}
    document["build_ups"]["risers"] = {**build_up, "name": "Risers"}
    document["overrules"] = document["labour"] = []
    return take_visit_file(data=document, person=ada(), key=new_key())


def test_the_setter_finds_beds_and_caution_on_the_cut_list_and_on_paper() -> None:
    visit = kept()
    page = text_of(signed_in(ben()), "cut-list", visit.uid)
    answer = signed_in(ben()).get(reverse("cut-list-paper", args=[visit.uid]))
    paper = "".join(
        one.extract_text() for one in PdfReader(io.BytesIO(answer.content)).pages
    )

    assert answer["Content-Type"] == "application/pdf"
    for words in (page, paper):
        assert "Laid first" in words
        assert "21" in words
        assert "International Building Code" in words.replace("\n", " ")
        assert "People fall on uneven stairs." in words.replace("\n", " ")
    assert "Hall, Stairs, tread 2" in page


def test_uneven_stairs_are_said_on_the_cut_list_beside_the_limit() -> None:
    page = text_of(signed_in(ben()), "cut-list", kept(bottom="14", landing="0").uid)

    assert "Too uneven." in page


def test_a_set_out_picked_for_one_tread_holds_for_the_flight() -> None:
    visit = kept()
    flight = Surface.objects.get(space__visit=visit, name="Stairs")
    browser = signed_in(ben())
    page = browser.get(reverse("set-outs", args=[flight.uid]))
    parts = page.context["sheet"].parts

    # Three risers alike, and two treads alike.
    assert len(parts) == 2
    assert "2 alike" in parts[0].place
    send(
        browser, "set-outs", flight.uid,
        layer="1", aim="least_tile", version=str(flight.version),
    )  # fmt: skip

    flight.refresh_from_db()
    assert flight.facts["pattern"]["origin"] == "least_tile"
    again = tiled_parts(flight).parts
    assert {part.pattern["origin"] for part in again} == {"least_tile"}


def test_a_flight_goes_out_as_a_file_and_comes_in_again() -> None:
    visit = kept(limit="12", laid="riser", riser_build_up="risers")

    answer = signed_in(ada()).get(reverse("visit-file", args=[visit.uid]))

    found = json.loads(answer.content)
    (flight,) = [
        row for row in found["spaces"][0]["surfaces"] if row["name"] == "Stairs"
    ]
    assert flight["shape"]["rises"] == ["180", "180", "180"]
    assert (flight["shape"]["limit"], flight["shape"]["laid"]) == ("12", "riser")
    again = take_visit_file(data=found, person=ada(), key=new_key())
    copy = Surface.objects.get(space__visit=again, name="Stairs")
    assert copy.facts["shape"] == flight["shape"]


def test_the_command_prices_a_flight(tmp_path: Any, capsys: Any) -> None:
    path = tmp_path / "stairs.json"
    path.write_text(json.dumps(a_hall_with_stairs()), encoding="utf-8")

    call_command("price_visit", str(path), "--on", "2026-07-01")

    said = capsys.readouterr().out
    assert "Tile a step" in said or "step" in said
    assert "uneven stairs" in said


def test_a_flight_is_drawn_while_its_layers_cannot_be_computed_yet() -> None:
    """The risers' adhesive says neither notch nor coverage; the shape is drawn."""
    visit = kept()
    flight = Surface.objects.get(space__visit=visit, name="Stairs")
    thick = visit.build_ups.get(key="risers")
    thick.layers[0] = {"role": "bed", "material": "AD-FLEX"}
    thick.save()
    shape = {**flight.facts["shape"], "shape": "stairs", "rises": "180, 180, 180"}

    answer = signed_in(ben()).post(
        reverse("draw-surface", args=[flight.space.uid]),
        {**shape, "name": "Stairs", "build_up": "risers", "riser_build_up": "risers"},
    )

    page = answer.content.decode()
    assert "<svg" in page
    assert "needs a notch" in page
