"""The page of the first guess: a number with its error, and nothing kept."""

from __future__ import annotations

import pytest
from django.urls import reverse

from quotes.models import Visit
from tests.service.office import ben, signed_in
from tests.service.quotes.test_cut_list import a_shower

pytestmark = pytest.mark.django_db

SIZES = {"length": "3 m", "width": "2000 mm", "tile_length": "300 mm",
         "tile_width": "300 mm"}  # fmt: skip


def test_the_guess_names_its_error_and_keeps_nothing() -> None:
    a_shower()
    before = Visit.objects.count()
    answer = signed_in(ben()).get(reverse("first-guess"), SIZES)
    text = answer.content.decode()

    assert answer.status_code == 200
    assert "<b>71 tiles</b>; in two rooms of three between 67 and 76" in text
    assert "scatter by 8 points" in text
    assert "never order from it" in text
    assert Visit.objects.count() == before


@pytest.mark.parametrize("wrong", ["", "3 parsecs", "0"])
def test_a_size_that_is_none_is_said_beside_its_field(wrong: str) -> None:
    a_shower()
    answer = signed_in(ben()).get(
        reverse("first-guess"), {**SIZES, "tile_length": wrong}
    )

    assert answer.status_code == 422
    assert "2000 mm" in answer.content.decode()
    assert "rooms of three" not in answer.content.decode()
