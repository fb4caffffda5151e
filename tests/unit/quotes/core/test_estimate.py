from __future__ import annotations

import copy
from datetime import date
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from moneyed import Money

from materials.core import amounts
from materials.core.errors import Refusal
from quotes.core.estimate import priced_takeoff
from quotes.core.offering import estimate_json, quote_of
from quotes.core.visit_file import read_visit
from tests import builders
from tests.priced import priced_visit

FILES = {
    "shower": builders.a_shower,
    "hall": builders.a_hall,
    "kitchen": builders.a_kitchen_wall,
}
FOUND = {name: priced_visit(make()) for name, make in FILES.items()}
JUGGLING = [{"operation": "juggle", "hours": "1"}]
HAND_ONLY = {
    "spaces": [],
    "hand_lines": [
        {
            "text": "Replace cracked tiles",
            "quantity": "5",
            "unit": "each",
            "unit_cost": "4.00",
            "unit_price": "17.50",
        }
    ],
}


def _pence(money):
    return int(amounts.exact(money) * 100)


@pytest.mark.parametrize("name", FILES)
def test_every_sum_is_the_sum_of_its_lines(name):
    option = FOUND[name].option
    totals = option.totals
    lines = option.lines
    kept_aside = [line for line in lines if line.cost_class == "contingency"]

    net = sum(_pence(line.price) for line in lines)
    cost = sum(_pence(line.cost) for line in lines)
    assert _pence(totals.net) == net == sum(_pence(o.price) for o in option.offered)
    assert _pence(totals.contingency) == sum(_pence(line.cost) for line in kept_aside)
    assert _pence(totals.cost) + _pence(totals.contingency) == cost
    assert _pence(totals.profit) == net - cost
    assert _pence(totals.gross) == net + _pence(totals.tax)
    assert sum(_pence(stage.amount) for stage in option.stages) == _pence(totals.gross)
    assert sum(_pence(one.price) for one in option.classes) == net


@pytest.mark.parametrize("name", FILES)
def test_every_figure_carries_its_working(name):
    for line in FOUND[name].option.lines:
        assert line.working, line.key
        assert line.working[-1].result or line.stopped, line.key


@pytest.mark.parametrize("name", FILES)
def test_keys_of_lines_are_their_own(name):
    keys = [line.key for line in FOUND[name].option.lines]

    assert len(set(keys)) == len(keys)


@pytest.mark.parametrize("name", FILES)
def test_nothing_bought_is_less_than_needed(name):
    for line in FOUND[name].option.lines:
        if line.cost_class == "materials" and line.nature == "computed":
            held = sum(pack.count * pack.content for pack in line.packs)
            assert held >= line.quantity, line.key
            assert line.left_over == held - line.quantity


def test_the_cost_of_a_line_is_its_packs_or_its_hours():
    for line in FOUND["shower"].option.lines:
        if line.packs:
            bought = sum(pack.count * _pence(pack.each) for pack in line.packs)
            assert _pence(line.cost) == bought, line.key
        if line.hours:
            for part in line.hours:
                assert (part.hours * 100).denominator == 1


def test_the_pan_s_trimmed_share_is_its_own_figure():
    option = FOUND["shower"].option
    pan = next(line for line in option.lines if line.trimmed_off is not None)

    assert pan.cost == Money("214.00", "USD")
    assert Money("0", "USD") < pan.trimmed_off < pan.cost
    assert option.totals.trimmed_off == pan.trimmed_off


def test_hand_lines_alone_go_the_whole_way():
    option = priced_visit(builders.a_hall(**HAND_ONLY)).option

    assert [line.key for line in option.lines] == ["hand:1", "minimum_charge"]
    assert option.totals.net == Money("250.00", "GBP")
    assert option.totals.tax == Money("50.00", "GBP")
    assert option.totals.days == 0


def test_an_empty_visit_comes_to_nothing():
    option = priced_visit(builders.a_hall(spaces=[])).option

    assert option.lines == ()
    assert option.totals.gross == Money("0", "GBP")
    assert option.totals.margin == 0


def test_a_dearer_board_changes_its_line_and_the_total_and_no_need():
    file = builders.a_shower()
    before = priced_visit(file)
    for material in file["price_list"]["materials"]:
        if material["code"] == "KB-12":
            material["packs"][0]["prices"][0]["amount"] = "27.85"
    after = priced_visit(file)

    board = before.option.line("material:KB-12")
    dearer = after.option.line("material:KB-12")
    assert _pence(dearer.cost) - _pence(board.cost) == 1000 * board.packs[0].count
    assert after.option.totals.net > before.option.totals.net
    assert _quantities(after) == _quantities(before)


def _quantities(found):
    return {need.material: need.quantity for need in found.takeoff.needs}


def test_the_price_of_the_day_counts():
    file = builders.a_shower()
    for material in file["price_list"]["materials"]:
        if material["code"] == "KB-12":
            material["packs"][0]["prices"].append(
                {"valid_from": "2026-06-01", "amount": "20.00"}
            )

    spring = priced_visit(file, on=date(2026, 5, 31)).option.line("material:KB-12")
    summer = priced_visit(file, on=date(2026, 6, 1)).option.line("material:KB-12")

    assert spring.packs[0].each == Money("17.85", "USD")
    assert summer.packs[0].each == Money("20.00", "USD")


def test_a_price_missing_on_the_date_names_the_product():
    with pytest.raises(Refusal) as caught:
        priced_visit(builders.a_hall(), on=date(2025, 1, 1))

    assert "2025-01-01" in caught.value.sentence


def test_goods_the_client_buys_cost_nothing_and_are_listed():
    file = builders.a_hall()
    file["build_ups"]["hall_floor"]["layers"][3]["supplied_by"] = "client"

    found = priced_visit(file)

    line = found.option.line("material:FT-60:client")
    assert line.price == Money("0", "GBP")
    assert line.packs[0].count > 0
    assert found.by_client[0].startswith("Causeway 600 × 600: ")
    assert found.option.line("labour:set_floor_tile").quantity > 0


def test_an_overrule_changes_the_total_and_keeps_both_figures():
    file = builders.a_hall()
    before = priced_visit(file).option
    file["overrules"] = [
        {
            "line": "labour:set_floor_tile",
            "what": "hours",
            "value": "12",
            "reason": "the walls run out",
        }
    ]

    line = priced_visit(file).option.line("labour:set_floor_tile")

    assert line.quantity == 12
    assert line.overruled[0].reason == "the walls run out"
    assert Fraction(line.overruled[0].computed) == (
        before.line("labour:set_floor_tile").quantity
    )


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        (
            {
                "overrules": [
                    {"line": "nope", "what": "cost", "value": "1", "reason": "x"}
                ]
            },
            "overrules[0].line",
        ),
        ({"labour": [{"operation": "juggle", "quantity": "1"}]}, "labour[0].operation"),
        (
            {"rates": {**builders.a_hall()["rates"], "outputs": JUGGLING}},
            "rates.outputs[0].operation",
        ),
        ({"currency": "EUR"}, "price_list.currency"),
    ],
)
def test_what_cannot_be_priced_is_refused_with_its_field(changes, field):
    file = {**builders.a_hall(), **copy.deepcopy(changes)}

    with pytest.raises(Refusal) as caught:
        priced_visit(file)

    assert caught.value.field == field


def test_stages_stand_in_place_of_the_deposit():
    file = builders.a_hall()
    file["terms"]["stages"] = [
        {"label": "start", "share": "1/3"},
        {"label": "middle", "share": "1/3"},
        {"label": "end", "share": "1/3"},
    ]

    option = priced_visit(file).option

    parts = [_pence(stage.amount) for stage in option.stages]
    assert sum(parts) == _pence(option.totals.gross)
    assert max(parts) - min(parts) <= 1


def test_equal_input_gives_an_equal_estimate():
    found, again = FOUND["shower"], priced_visit(builders.a_shower())

    assert estimate_json(found, quote_of(found)) == estimate_json(
        again, quote_of(again)
    )


HALL = FOUND["hall"]


@settings(max_examples=100)
@given(
    method=st.sampled_from(["markup", "margin"]),
    shares=st.tuples(*[st.integers(0, 90)] * 4),
    tax=st.sampled_from(["0", "6.25 %", "7.75 %", "20 %"]),
    recoverable=st.booleans(),
    basis=st.sampled_from(["document", "line"]),
    goods_only=st.booleans(),
    step=st.sampled_from(["0", "0.05", "5", "10"]),
    deposit=st.integers(0, 100),
)
def test_sums_hold_for_any_rates(
    method, shares, tax, recoverable, basis, goods_only, step, deposit
):
    file = builders.a_hall()
    file["rates"] = {
        **file["rates"],
        "method": method,
        "materials_rate": f"{shares[0]} %",
        "labour_rate": f"{shares[1]} %",
        "other_rate": f"{shares[2]} %",
        "contingency": f"{shares[3]} %",
        "sales_tax": tax,
        "purchase_tax": "20 %",
        "purchase_tax_recoverable": recoverable,
        "tax_basis": basis,
        "round_to": step,
        "taxed_classes": ["materials"] if goods_only else [],
    }
    file["terms"] = {**file["terms"], "deposit": f"{deposit} %"}
    visit = read_visit(file)
    assert visit.rates is not None

    option = priced_takeoff(
        visit,
        HALL.takeoff,
        catalogue=_catalogue(visit),
        rates=visit.rates,
        on=HALL.on,
    ).option

    net = sum(_pence(line.price) for line in option.lines)
    assert _pence(option.totals.net) == net
    assert sum(_pence(line.price) for line in option.offered) == net
    assert sum(_pence(line.base) for line in option.taxes) == net
    assert _pence(option.totals.tax) == sum(_oracle(option, basis).values())
    assert sum(_pence(stage.amount) for stage in option.stages) == (
        net + _pence(option.totals.tax)
    )


def _oracle(option, basis):
    """Tax by whole pence and rates of ten-thousandths, halves up."""
    bases = {}
    rounded = {}
    for line in option.offered:
        for part in line.parts:
            rate = int(part.rate * 10_000)
            base = _pence(part.base)
            bases[rate] = bases.get(rate, 0) + base
            rounded[rate] = rounded.get(rate, 0) + _half_up(base * rate)
    if basis == "line":
        return rounded
    return {rate: _half_up(base * rate) for rate, base in bases.items()}


def _half_up(ten_thousandths):
    sign = -1 if ten_thousandths < 0 else 1
    return sign * ((2 * abs(ten_thousandths) + 10_000) // 20_000)


def _catalogue(visit):
    from materials.core.pricelist import catalogue_on

    return catalogue_on(visit.price_list, HALL.on)
