"""The page of stairs: beds and pieces in the business's units, with its caution."""

from __future__ import annotations

import html

import pytest
from django.urls import reverse

from tests.service.office import ben, signed_in
from tests.service.quotes.test_cut_list import a_shower

pytestmark = pytest.mark.django_db

FLIGHT = {
    "risers": "180, 180, 180", "bottom": "0", "landing": "45", "tile": "10", "bed": "5",
    "riser": "14", "going": "280", "laid": "tread",
}  # fmt: skip


def test_the_flight_is_set_out_with_its_caution() -> None:
    a_shower()
    answer = signed_in(ben()).get(reverse("stairs"), FLIGHT)
    text = html.unescape(answer.content.decode()).replace("\xa0", " ")

    assert answer.status_code == 200
    assert [row[4] for row in answer.context["rows"]] == ["195\xa0mm"] * 3
    assert "differ by 0 mm at most" in text
    assert "it would be 30 mm" in text
    assert "People fall on uneven stairs." in text
    assert "Local rules say how high" in text


def test_what_no_bed_can_make_even_is_said() -> None:
    a_shower()
    answer = signed_in(ben()).get(reverse("stairs"), {**FLIGHT, "landing": "0",
                                                      "bottom": "15"})  # fmt: skip

    assert "Too uneven." in answer.content.decode()


@pytest.mark.parametrize(
    "wrong",
    [
        {"risers": "180, high"}, {"risers": ""}, {"risers": "180"}, {"going": "0"},
        {"risers": ", ".join(["180"] * 41)}, {"tile": "300"}, {"bed": "-1"},
    ],
)  # fmt: skip
def test_a_flight_that_is_none_is_said_beside_its_field(wrong: dict[str, str]) -> None:
    a_shower()
    answer = signed_in(ben()).get(reverse("stairs"), {**FLIGHT, **wrong})

    assert answer.status_code == 422
    assert "280" in answer.content.decode() or "going" in wrong
    assert answer.context["form"].errors
