from __future__ import annotations

import json
from fractions import Fraction
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from materials.core.cutting.pan_answer import answer, answer_text, slope_text, summary
from materials.core.cutting.pan_file import read_job
from materials.core.lengths import INCH, MM
from materials.core.quantities import half_up
from tests.cases import some_cases
from tests.unit.materials.core.cutting.test_pan_file import JOB

FLAT = {
    **JOB,
    "flat": [[[0, 24], [38, 24], [38, 35], [0, 35]]],
    "boards": [{"name": "Flat 2", "width": 48, "depth": 24, "thick": 2, "price": 58}],
    "mortar": {"price": "0.05", "least": 1, "bag": 600},
}


def told(data: dict[str, Any]) -> dict[str, Any]:
    job = read_job(json.dumps(data))
    return json.loads(answer_text(answer(job, job.fit())))


def test_one_pan_is_told_in_the_file_s_unit() -> None:
    way = told(JOB)["ways"][0]

    assert (way["kind"], way["cost"], way["slope"]) == ("one_pan", "386.40", "1/36")
    piece = way["pieces"][0]
    assert (piece["pan"], piece["turn"], piece["at"]) == ("Dell 46", 0, ["0", "-4"])
    assert piece["keep"] == [["0", "0"], ["38", "0"], ["38", "35"], ["0", "35"]]
    assert piece["keep_on_pan"][0] == ["0", "4"]
    assert piece["slice"] == ["0", "35"]
    assert (way["used_area"], way["trimmed_area"]) == ("1330", "970")
    assert way["trimmed_money"] == "162.96"
    assert way["labour"] == "set_pan"
    assert [one["height"] for one in way["heights"]] == [
        "0.8333",
        "0.8333",
        "1.8056",
        "1.8056",
        "0.8333",
        "0.8333",
    ]


def test_boards_and_beds_are_told() -> None:
    ways = {way["kind"]: way for way in told(FLAT)["ways"]}

    assert ways["pan_and_board"]["boards"] == [
        {
            "board": "Flat 2",
            "count": 1,
            "outline": [["0", "24"], ["38", "24"], ["38", "35"], ["0", "35"]],
            "area": "418",
            "cost": "58.00",
        }
    ]
    assert ways["pan_and_board"]["steps"][0]["step"] == ["0", "0"]
    bed = ways["mortar"]["mortar"]
    assert (bed["volume"], bed["volume_exact"], bed["bags"]) == ("1140", "1140", 2)
    assert ways["mortar"]["heights"][2]["height"] is None


def test_refusals_name_pan_turn_and_reason() -> None:
    refused = told({**JOB, "slope": {"min": "1/20", "max": "1/10"}})["refused"]

    assert {(one["pan"], one["turn"]) for one in refused} >= {
        ("Dell 46", 0),
        ("Dell 46", 90),
        ("Dell 46", 180),
        ("Dell 46", 270),
    }
    assert all(one["reason"].endswith(".") for one in refused)


def test_the_rule_is_told_with_its_source_when_it_is_the_default() -> None:
    assert told(JOB)["rule"] == {
        "min": "1/48",
        "max": "1/24",
        "run": "wall",
        "source": None,
    }
    default = {key: value for key, value in JOB.items() if key != "slope"}
    assert "P2709.1" in told(default)["rule"]["source"]


def test_the_order_is_by_cost() -> None:
    costs = [Fraction(way["cost"]) for way in told(FLAT)["ways"]]

    assert costs == sorted(costs)


def test_a_slope_is_a_fraction_or_nine_decimals() -> None:
    assert slope_text(Fraction(5, 156)) == "5/156"
    assert slope_text(Fraction(10**20, 3 * 10**21 + 7)) == "0.033333333"


def test_the_summary_reads_from_the_cheapest_down() -> None:
    job = read_job(json.dumps(FLAT))

    text = summary(job, job.fit())

    assert text.startswith("1. Mortar: mortar bed, 57.00")
    assert "2. Pan and board: Dell 46 + Flat 2, 444.40" in text
    assert "To the farthest corner 2.78 % (1 in 36)." in text
    assert "left at corner 2, corner 3" in text
    assert "falls along the drain side. (turned 90°)" in text


def test_nothing_that_does_is_said() -> None:
    job = read_job(json.dumps({**JOB, "pans": []}))

    assert summary(job, job.fit()) == "Nothing does; the reasons follow."


Drawn = dict[str, Any]


@st.composite
def drawn_jobs(draw: st.DrawFn) -> Drawn:
    """Give an ell or a rectangle, a linear or point drain, two pans and mortar.

    Lengths are Fractions of an inch, for the tests to scale and to write out.
    """

    def inches(least: int, most: int) -> Fraction:
        return Fraction(draw(st.integers(4 * least, 4 * most)), 4)

    wide, deep, cut = inches(30, 60), inches(30, 60), inches(2, 12)
    ell = [(0, 0), (wide, 0), (wide, deep - cut), (wide - cut, deep - cut)]
    ell += [(wide - cut, deep), (0, deep)]
    plain = [(0, 0), (wide, 0), (wide, deep), (0, deep)]
    linear = draw(st.booleans())
    drain = {"kind": "linear", "side": 0, "from": Fraction(0), "length": wide}
    middle = [half_up(wide / 2, Fraction(1, 4)), half_up(deep / 2, Fraction(1, 4))]
    fall = draw(st.sampled_from([Fraction(1, 48), Fraction(1, 36), Fraction(1, 60)]))

    def pan(name: str) -> Drawn:
        across, up, thin = inches(30, 90), inches(30, 90), Fraction(3, 4)
        return {
            "name": name,
            "kind": "linear" if linear else "point",
            "width": across,
            "depth": up if linear else across,
            "thin": thin,
            "thick": thin + fall * (up - 3 if linear else across / 2),
            "strip": Fraction(3 * linear),
            "price": str(draw(st.integers(0, 90_000)) / Fraction(100)),
        }

    return {
        "recess": draw(st.sampled_from([ell, plain])),
        "drain": drain if linear else {"kind": "point", "at": middle},
        "lowest": draw(st.sampled_from([Fraction(0), Fraction(1)])),
        "pans": [pan(name) for name in draw(st.sampled_from(["A", "A", "AB"]))],
        "mortar": {"least": Fraction(1), "density": 2000, "price": "0.04"},
        "leftover": [Fraction(6), Fraction(20)],
    }


def written(value: Any, scale: Fraction) -> Any:
    """Return a job with its lengths, which alone are Fractions, times a scale."""
    if isinstance(value, dict):
        return {key: written(one, scale) for key, one in value.items()}
    if isinstance(value, list | tuple):
        return [written(one, scale) for one in value]
    return str(value * scale) if isinstance(value, Fraction) else value


def number(text: str) -> Fraction:
    return Fraction(text)


def seen(record: Drawn, *, scale: Fraction, turn: int = 0) -> list[Any]:
    """Return what a reader compares: kinds, money, falls, heights to a thousandth."""
    return [
        (
            way["kind"], way["name"], way["cost"], way["slope"], way["trimmed_money"],
            way["rack_money"], way["trimmed_share"],
            [(piece["turn"] - turn) % 360 for piece in way["pieces"]],
            [half_up(number(one["height"]) / scale, Fraction(1, 1000))
             for one in way["heights"]],
            way["mortar"] and way["mortar"]["kg"],
        )
        for way in record["ways"]
    ]  # fmt: skip


@some_cases
@given(drawn_jobs())
def test_a_turned_room_in_millimetres_has_the_same_ways_turned(job: Drawn) -> None:
    scale = Fraction(INCH, MM)
    turned = dict(job, recess=[(-y, x) for x, y in job["recess"]])
    if "at" in job["drain"]:
        x, y = job["drain"]["at"]
        turned["drain"] = {"kind": "point", "at": [-y, x]}
    mm = {"unit": "mm", **written(turned, scale)}
    mm["mortar"]["price"] = str(Fraction("0.04") / scale**3)

    here = told({"unit": "in", **written(job, Fraction(1))})
    there = told(mm)

    quarter = 90 if job["drain"]["kind"] == "linear" else 0
    ways = seen(here, scale=Fraction(1))
    others = seen(there, scale=scale, turn=quarter)
    assert len(here["refused"]) == len(there["refused"])
    # Heights have four decimals of either unit, and may round apart by one of them.
    for one, other in zip(ways, others, strict=True):
        assert (*one[:8], one[9]) == (*other[:8], other[9])
        pairs = zip(one[8], other[8], strict=True)
        assert all(abs(a - b) <= Fraction(1, 1000) for a, b in pairs)


@some_cases
@given(drawn_jobs())
def test_areas_money_and_the_bed_s_volume_are_conserved(job: Drawn) -> None:
    record = told({"unit": "in", **written(job, Fraction(1))})

    corners = job["recess"]
    area = sum(
        a[0] * b[1] - b[0] * a[1]
        for a, b in zip(corners, [*corners[1:], corners[0]], strict=True)
    ) / Fraction(2)
    prices = {pan["name"]: Fraction(pan["price"]) for pan in job["pans"]}
    plans = {pan["name"]: pan["width"] * pan["depth"] for pan in job["pans"]}
    for way in record["ways"]:
        names = [piece["pan"] for piece in way["pieces"]]
        if names:
            assert number(way["cost"]) == sum(prices[name] for name in names)
            assert number(way["used_area"]) == half_up(area, Fraction(1, 10_000))
            whole = sum(plans[name] for name in names)
            assert number(way["used_area"]) + number(way["trimmed_area"]) == whole
        else:
            exact = number(way["mortar"]["volume_exact"])
            assert abs(exact - solid(way, corners)) < area / 1000
            assert number(way["cost"]) == half_up(exact / 25, Fraction(1, 100))
        for piece in way["pieces"]:
            name = piece["pan"]
            share = number(piece["trimmed_area"]) / plans[name]
            assert number(piece["trimmed_money"]) + number(
                piece["rack_money"]
            ) == half_up(prices[name] * share, Fraction(1, 100))


def solid(way: Drawn, corners: list[Any]) -> Fraction:
    """Return the volume under a bed from its printed heights: prisms over triangles.

    Seen from the drain, whose floor is a plane over each triangle to a wall; a plane
    fall is one over any triangles.
    """
    places = [(tuple(map(number, one["at"])), number(one["height"]))
              for one in way["heights"]]  # fmt: skip
    (x, y), low = places[-1]
    rims = places[: len(corners)]
    total = Fraction(0)
    for (a, high), (b, higher) in zip(rims, [*rims[1:], rims[0]], strict=True):
        twice = (a[0] - x) * (b[1] - y) - (a[1] - y) * (b[0] - x)
        total += twice / 2 * (low + high + higher) / 3
    return total
