from __future__ import annotations

import pytest

from materials.core import amounts
from quotes.core.summary import summary
from tests import builders
from tests.priced import priced_visit


@pytest.mark.parametrize(
    "file", [builders.a_shower(), builders.a_hall(), builders.a_kitchen_wall()]
)
def test_every_line_and_every_step_of_its_working_is_printed(file):
    found = priced_visit(file)

    text = summary(found)

    for line in found.option.lines:
        assert f"{line.key}; {line.text}" in text
        assert f"price {amounts.plain(line.price)}" in text
        for step in line.working:
            assert step.label in text
            assert step.formula in text
            assert step.result in text
    assert amounts.plain(found.option.totals.gross) in text
    for caution in found.cautions:
        assert caution.sentence in text
    assert text.endswith("\n")


def test_what_the_client_orders_is_listed():
    file = builders.a_hall()
    file["build_ups"]["hall_floor"]["layers"][3]["supplied_by"] = "client"

    text = summary(priced_visit(file))

    assert "The client orders" in text
    assert "Causeway 600 × 600: " in text


def test_the_pan_s_trimmed_share_is_printed():
    assert "trimmed off 26.54" in summary(priced_visit(builders.a_shower()))
