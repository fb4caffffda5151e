"""Build-ups, labour, hand-typed lines, overrules, allowances, rates and terms."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from moneyed import Money

from materials.core.errors import Refusal
from materials.core.kinds.mortar import Notch
from materials.core.lengths import Length
from quotes.core.visit import Visit
from quotes.core.visit_file import read_visit
from tests.builders import a_bare_visit, a_hall


def read(**changes: Any) -> Visit:
    return read_visit(a_bare_visit(**changes))


def layers(**settings: Any) -> dict[str, Any]:
    return {"f": {"name": "Floor", "layers": [{"role": "bed", **settings}]}}


def test_a_layer_s_settings_are_read_and_kept_as_typed() -> None:
    bed = read_visit(a_hall()).build_ups["hall_floor"].layers[2]

    notch = bed.settings["notch"]
    assert isinstance(notch, Notch)
    assert notch.width == Length.mm(10)
    assert bed.settings["back_butter"] == Length.mm(1)
    assert bed.typed["blade_angle"] == "60"


def test_rates_are_money_and_shares() -> None:
    rates = read(rates={"setter_wage": "41.50", "materials_rate": "15 %"}).rates

    assert rates is not None
    assert rates.setter_wage == rates.helper_wage == Money("41.50", "GBP")
    assert rates.materials_rate == Fraction(3, 20)
    assert rates.method == "markup"


def test_stored_rates_are_none_here() -> None:
    assert read().rates is None
    assert read(rates="stored").rates is None


def test_hand_lines_allowances_labour_and_overrules_are_read() -> None:
    visit = read(
        labour=[{"operation": "cut_hole", "quantity": "2", "factor": "1.5"}],
        hand_lines=[{"text": "Five tiles", "quantity": "5", "unit_price": "12.50"}],
        overrules=[
            {
                "line": "material:G",
                "what": "packs",
                "value": "3",
                "reason": "in the van",
            }
        ],
        allowances=[{"nature": "allowance", "text": "Tile", "amount": "400"}],
    )

    assert visit.labour[0].factor == Fraction(3, 2)
    assert visit.hand_lines[0].unit_price == Money("12.50", "GBP")
    assert visit.overrules[0].reason == "in the van"
    assert visit.allowances[0].amount == Money("400", "GBP")


def test_stages_add_up_to_the_whole() -> None:
    stages = [{"label": "start", "share": "1/3"}, {"label": "end", "share": "2/3"}]

    terms = read(terms={"stages": stages, "discount": "2 %"}).terms

    assert [stage.share for stage in terms.stages] == [Fraction(1, 3), Fraction(2, 3)]
    assert terms.discount == Fraction(1, 50)


HAND = {"text": "Five tiles", "unit_price": "12.50"}
OVER = {"line": "m", "what": "packs", "value": "3", "reason": "so"}


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"build_ups": {"f": {"name": "F"}}}, "build_ups.f.layers"),
        ({"build_ups": layers(role="paint")}, "build_ups.f.layers[0].role"),
        ({"build_ups": layers(supplied_by="them")},
         "build_ups.f.layers[0].supplied_by"),
        ({"build_ups": layers(colour="red")}, "build_ups.f.layers[0].colour"),
        ({"build_ups": layers(coats=0)}, "build_ups.f.layers[0].coats"),
        ({"build_ups": layers(loss="200 %")}, "build_ups.f.layers[0].loss"),
        ({"build_ups": layers(joint="-2")}, "build_ups.f.layers[0].joint"),
        ({"build_ups": layers(blade_angle="30")}, "build_ups.f.layers[0].blade_angle"),
        ({"build_ups": layers(notch={"kind": "square", "width": "6"})},
         "build_ups.f.layers[0].notch.depth"),
        ({"build_ups": layers(pattern={"name": "plaid"})},
         "build_ups.f.layers[0].pattern.name"),
        ({"build_ups": layers(pattern={"name": "stack", "origin": "middle"})},
         "build_ups.f.layers[0].pattern.origin"),
        ({"build_ups": layers(pattern={"name": "stack", "n": 0})},
         "build_ups.f.layers[0].pattern.n"),
        ({"hand_lines": [{**HAND, "unit_price": "-1"}]}, "hand_lines[0].unit_price"),
        ({"hand_lines": [{**HAND, "unit_price": "1 USD"}]}, "hand_lines[0].unit_price"),
        ({"hand_lines": [{**HAND, "quantity": "0"}]}, "hand_lines[0].quantity"),
        ({"hand_lines": [{**HAND, "cost_class": "fun"}]}, "hand_lines[0].cost_class"),
        ({"hand_lines": [{"unit_price": "1"}]}, "hand_lines[0].text"),
        ({"overrules": [{**OVER, "reason": " "}]}, "overrules[0].reason"),
        ({"overrules": [OVER, OVER]}, "overrules[1].line"),
        ({"overrules": [{**OVER, "what": "mood"}]}, "overrules[0].what"),
        ({"allowances": [{"nature": "allowance", "text": "T", "amount": "1.234"}]},
         "allowances[0].amount"),
        ({"labour": [{"operation": "x"}]}, "labour[0].quantity"),
        ({"rates": {}}, "rates.setter_wage"),
        ({"rates": {"setter_wage": "40", "method": "margin", "labour_rate": "150 %"}},
         "rates.labour_rate"),
        ({"rates": {"setter_wage": "40", "taxed_classes": ["air"]}},
         "rates.taxed_classes[0]"),
        ({"rates": {"setter_wage": "40", "tax_basis": "moon"}}, "rates.tax_basis"),
        ({"terms": {"deposit": "130 %"}}, "terms.deposit"),
        ({"terms": {"exclusions": [" "]}}, "terms.exclusions[0]"),
        ({"terms": {"stages": [{"label": "a", "share": "1/2"}]}}, "terms.stages"),
        ({"terms": {"holds_days": 0}}, "terms.holds_days"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused_by_its_place(
    changes: dict[str, Any], field: str
) -> None:
    with pytest.raises(Refusal) as caught:
        read(**changes)

    assert caught.value.field == field
