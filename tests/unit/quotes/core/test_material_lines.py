from __future__ import annotations

from datetime import date
from fractions import Fraction

import pytest
from moneyed import Money

from materials.core import amounts
from materials.core.errors import OutOfRange, Unknown
from materials.core.need import MaterialFacts, Need, PackFacts, Step
from quotes.core.choices import Overrule
from quotes.core.material_lines import Terms, line_key, material_line
from quotes.core.overrules import Overrules
from quotes.core.pricing import Addition

ON = date(2026, 7, 1)
BAG = PackFacts(key="AD/1", label="20 kg bag", content=Fraction(20), price=187_000)
CATALOGUE = {
    "AD": MaterialFacts(
        code="AD", name="Adhesive", kind="mortar", facts={}, packs=(BAG,)
    ),
    "PAN": MaterialFacts(
        code="PAN",
        name="Pan",
        kind="foam_pan",
        facts={},
        packs=(
            PackFacts(key="PAN/1", label="each", content=Fraction(1), price=2_680_000),
        ),
    ),
    "NEW": MaterialFacts(code="NEW", name="New tile", kind="tile", facts={}),
    "LEV": MaterialFacts(
        code="LEV",
        name="Leveller",
        kind="mortar",
        facts={"use": "leveller"},
        packs=(BAG,),
    ),
}


def _terms(*overrules, **changes):
    values = {
        "catalogue": CATALOGUE,
        "on": ON,
        "code": "GBP",
        "addition": Addition(method="markup", materials=Fraction(1, 5)),
        "overrules": Overrules(overrules),
        **changes,
    }
    return Terms(**values)


def _need(material="AD", quantity="45", **more):
    return Need(
        material=material,
        unit="kg",
        quantity=Fraction(quantity),
        working=(Step(label="Net area", result="9 m²"),),
        **more,
    )


def _overrule(what, value, line="material:AD"):
    return Overrule(line=line, what=what, value=value, reason="seen on site")


def test_a_need_is_bought_in_whole_packs():
    line = material_line(_need(), _terms())

    assert (line.packs[0].count, line.left_over) == (3, Fraction(15))
    assert line.cost == Money("56.10", "GBP")
    assert line.price == Money("67.32", "GBP")
    assert [step.label for step in line.working] == [
        "Net area",
        "Whole packs, cheapest mix",
        "20 kg bag",
        "Price",
    ]


def test_a_leveller_belongs_to_preparing():
    assert material_line(_need("LEV"), _terms()).section == "prepare"
    assert material_line(_need("AD"), _terms()).section == "tile"


def test_tax_on_purchases_is_cost_where_it_is_not_recovered():
    line = material_line(_need(), _terms(purchase_tax=Fraction(1, 5)))

    assert line.purchase_tax == Money("11.22", "GBP")
    assert line.cost == Money("67.32", "GBP")
    assert line.price == Money("80.78", "GBP")


@pytest.mark.parametrize("by", ["client", "others"])
def test_what_others_supply_keeps_its_packs_and_costs_nothing(by):
    line = material_line(_need(supplied_by=by), _terms())

    assert line.key == f"material:AD:{by}"
    assert line.packs[0].count == 3
    assert line.cost == line.price == amounts.zero("GBP")


def test_what_the_client_supplies_needs_no_price():
    line = material_line(_need("NEW", supplied_by="client"), _terms())

    assert line.packs == ()
    assert line.cost == amounts.zero("GBP")


def test_the_owner_s_quantity_is_bought_instead_and_both_stay():
    line = material_line(_need(), _terms(_overrule("quantity", "61")))

    assert (line.quantity, line.packs[0].count) == (61, 4)
    assert (line.overruled[0].computed, line.overruled[0].owner) == ("45", "61")


def test_the_owner_s_packs_may_fall_short_and_say_so():
    line = material_line(_need(), _terms(_overrule("packs", "2")))

    assert line.cost == Money("37.40", "GBP")
    assert line.left_over == 0
    assert any(step.label == "Caution" for step in line.working)
    assert line.overruled[0].computed == "3 20 kg bag"


def test_the_owner_s_cost_carries_the_price_and_the_owner_s_price_stands():
    line = material_line(
        _need(), _terms(_overrule("cost", "50"), _overrule("price", "55"))
    )

    assert (line.cost, line.price) == (Money("50", "GBP"), Money("55", "GBP"))
    assert [note.computed for note in line.overruled] == ["56.10", "60.00"]


def test_the_money_trimmed_off_a_pan_stays_in_its_cost():
    share = Fraction(374, 1000)

    line = material_line(
        _need("PAN", "1"), _terms(trimmed={"PAN": (share, Fraction(0))})
    )

    assert line.cost == Money("268.00", "GBP")
    assert line.trimmed_off == Money("100.23", "GBP")
    assert line.working[-1].label == "Trimmed off, within the cost"


def test_what_goes_to_the_rack_is_not_thrown_away():
    shares = (Fraction(374, 1000), Fraction(1, 10))

    line = material_line(_need("PAN", "1"), _terms(trimmed={"PAN": shares}))

    assert line.trimmed_off == Money("73.43", "GBP")


def test_a_price_missing_on_the_date_is_refused_with_what_to_do():
    with pytest.raises(OutOfRange, match="2026-07-01"):
        material_line(_need("NEW"), _terms())


def test_an_unknown_product_is_refused():
    with pytest.raises(Unknown):
        material_line(_need("XX"), _terms())


def test_a_key_names_who_supplies_it():
    assert line_key(_need()) == "material:AD"
    assert line_key(_need(supplied_by="others")) == "material:AD:others"
