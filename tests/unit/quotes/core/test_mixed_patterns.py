"""Patterns laid of several products: each size counted in one set-out."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from typing import Any

import pytest

from materials.core.errors import Refusal, Unknown
from materials.core.lengths import MM
from materials.core.need import Need
from materials.core.pricelist import catalogue_on
from quotes.core.layout.counting import count
from quotes.core.layout.records import Rules, SetOut, rectangle
from quotes.core.mixed_patterns import (
    WrongMix,
    joint_share_of,
    only_of,
    others_of,
    share_of,
)
from quotes.core.set_out_choices import choices_of
from quotes.core.takeoff import take_off
from quotes.core.tile_counts import TilePlan
from quotes.core.visit import Visit
from quotes.core.visit_file import read_visit
from quotes.core.visit_writer import written_visit
from tests.builders import a_bare_visit, a_surface
from tests.pattern_proof import built


def tile(code: str, length: object, width: object) -> dict[str, Any]:
    return {
        "code": code, "name": f"Tile {code}", "kind": "tile",
        "facts": {"length": str(length), "width": str(width), "thickness": "8",
                  "joint": "3"},
        "packs": [{"label": "box", "content": "10",
                   "prices": [{"valid_from": "2026-01-01", "amount": "20"}]}],
    }  # fmt: skip


PRODUCTS = [
    tile("L", 297, 297), tile("S", 147, 147), tile("X", 100, 60),
    tile("OB", 297, 147), tile("M32", 597, 397), tile("M22", 397, 397),
    tile("M21", 397, 197), tile("M11", 197, 197), tile("O", 200, 200),
    tile("D", 79, 79),
    {"code": "G", "name": "Foil", "kind": "membrane",
     "facts": {"form": "sheet", "roll_width": "1000"}, "packs": []},
]  # fmt: skip


def visit_of(
    pattern: dict[str, Any], own: str, width: int = 3000, height: int = 2400
) -> Visit:
    return read_visit(
        a_bare_visit(
            a_surface(
                "s",
                shape={
                    "kind": "rectangle", "width": str(width), "height": str(height),
                },
                build_up="f",
                edges=["wall"] * 4,
            ),
            build_ups={
                "f": {
                    "name": "F",
                    "layers": [{"role": "tile", "material": own, "pattern": pattern}],
                }
            },
            price_list={"materials": PRODUCTS},
        )
    )  # fmt: skip


def needs(pattern: dict[str, Any], own: str, **size: int) -> dict[str, Need]:
    return taken(visit_of(pattern, own, **size))


def taken(visit: Visit) -> dict[str, Need]:
    assert visit.price_list is not None
    found = take_off(visit, catalogue_on(visit.price_list, date(2026, 5, 1)))
    return {need.material: need for need in found.needs}


def plan_of(need: Need) -> TilePlan:
    assert isinstance(need.plan, tuple)
    (plan,) = need.plan
    assert isinstance(plan, TilePlan)
    return plan


@pytest.mark.parametrize(
    ("pattern", "own", "others", "shares"),
    [
        # How often each stands in a cell.
        ("hopscotch", "L", ["S"], (1, 1)),
        ("windmill", "OB", ["S"], (4, 1)),
        ("octagon_dot", "O", ["D"], (1, 1)),
        ("modular", "M32", ["M22", "M21", "M11"], (1, 2, 1, 2)),
    ],
)
def test_each_product_is_needed_as_often_as_it_stands_in_the_cell(
    pattern: str, own: str, others: list[str], shares: tuple[int, ...]
) -> None:
    found = needs({"name": pattern, "with": others}, own, width=9000, height=8000)

    plans = [plan_of(found[code]) for code in (own, *others)]
    cells = plans[0].tallies[0].full[0] / shares[0]
    for plan, share in zip(plans, shares, strict=True):
        (tally,) = plan.tallies
        # Cut ones stand along the edge only: what is whole is in proportion to that.
        assert abs(tally.full[0] / share - cells) < cells / 8
        assert {face.item for face in tally.lattice.faces} == {0}
    area = sum(plan.tallies[0].laid_area for plan in plans)
    joints = plans[0].tallies[0].tiled_area - area
    assert 0 < joints < plans[0].tallies[0].tiled_area / 15
    assert not any(need.bound for need in found.values())


def test_the_set_out_is_one_for_all_products() -> None:
    found = needs({"name": "hopscotch", "with": ["S"], "origin": "least_tile"}, "L")

    origins = {plan_of(found[code]).tallies[0].set_out for code in ("L", "S")}

    assert len(origins) == 1


def test_tiles_of_one_product_are_those_of_the_whole_tally() -> None:
    lattice = built("hopscotch", "3", length=297, small=147)
    tally = count(
        rectangle(3000 * MM, 2400 * MM), lattice, SetOut(origin=(70 * MM, 0)), Rules()
    )

    large, small = only_of(tally, 0), only_of(tally, 1)

    assert (large.full[0], small.full[0]) == tally.full
    assert (large.cut[0], small.cut[0]) == tally.cut
    assert large.laid_area + small.laid_area == tally.laid_area
    assert len(large.met_places) + len(small.met_places) == len(tally.met_places)
    assert {row[0] for row in small.met_places.tolist()} == {0}
    assert sum(p.count for p in (*large.pieces, *small.pieces)) == sum(
        p.count for p in tally.pieces
    )


def test_an_area_holds_one_field_of_a_lone_product_and_its_share_of_a_mixed_one() -> (
    None
):
    alone = built("stack", "3", length=300, width=200)
    mixed = built("hopscotch", "0", length=300, small=100)

    assert share_of(alone, 0) == 1
    # A cell of 300² + 100² = 100,000 mm²: nine tenths are large, one tenth small.
    assert share_of(mixed, 0) == Fraction(9, 10)
    assert share_of(mixed, 1) == Fraction(1, 10)


def test_the_joint_of_a_mix_is_that_of_its_repeat() -> None:
    """Hopscotch: 300² + 150² less 297² + 147², of 112,500 mm²; a hand's sum.

    Octagon 200: 2(√2 − 1) × 200². Its centre is 203 ÷ √2 = 143.543 from the dot's: less
    100 and the joint of 3 the dot is 40.543 to a side, 81.0853 across, in 203².
    """
    hopscotch = built("hopscotch", "3", length=297, small=147)
    dot = built("octagon_dot", "3", across=200)

    assert joint_share_of(hopscotch) == Fraction(2682, 112_500)
    by_hand = 1 - (Fraction("33137.085") + Fraction("81.0853") ** 2) / 203**2
    assert abs(joint_share_of(dot) - by_hand) < Fraction(1, 1_000_000)


def test_grout_of_a_mix_is_counted_from_all_its_joints() -> None:
    """7.2 m² × 2682/112,500 × 8 mm deep × 1.6 kg/l; the large tile alone is less."""
    pattern = {"name": "hopscotch", "with": ["S"]}
    document = written_visit(visit_of(pattern, "L"))
    document["build_ups"]["f"]["layers"].append({"role": "grout", "material": "GR"})
    document["price_list"]["materials"].append(
        {"code": "GR", "name": "Grout", "kind": "grout",
         "facts": {"density": "1.6", "loss": "0"}, "packs": []}
    )  # fmt: skip

    grout = taken(read_visit(document))["GR"]

    exact = Fraction("7.2") * Fraction(2682, 112_500) * 8 * Fraction("1.6")
    assert grout.quantity == exact
    alone = Fraction("7.2") * (1 - Fraction(297, 300) ** 2) * 8 * Fraction("1.6")
    assert grout.quantity > alone * Fraction("1.19")
    assert "repeat of the pattern" in grout.working[0].formula


def test_one_product_alone_stays_a_first_guess() -> None:
    found = needs({"name": "hopscotch"}, "L")

    assert list(found) == ["L"]
    assert "first guess" in found["L"].bound


@pytest.mark.parametrize(
    ("pattern", "own", "refused", "says"),
    [
        ({"name": "hopscotch", "with": ["S", "X"]}, "L", WrongMix, "takes 1 beside it"),
        ({"name": "stack", "with": ["S"]}, "L", WrongMix, "is laid of one product"),
        ({"name": "hopscotch", "with": ["X"]}, "L", WrongMix, "place for 100.mm × 100"),
        ({"name": "windmill", "with": ["X"]}, "OB", WrongMix, "147.mm × 147.mm"),
        ({"name": "hopscotch", "with": ["G"]}, "L", Unknown, "is no tile"),
        ({"name": "hopscotch", "with": ["nope"]}, "L", Refusal, "nope"),
    ],
)
def test_a_mix_that_cannot_be_is_refused_with_its_place(
    pattern: dict[str, Any], own: str, refused: type[Refusal], says: str
) -> None:
    with pytest.raises(refused, match=says) as caught:
        needs(pattern, own)

    assert caught.value.field == "build_ups.f.layers[0].pattern.with"


def test_a_file_must_name_the_other_products_in_quotes() -> None:
    with pytest.raises(Refusal, match="must name products"):
        visit_of({"name": "hopscotch", "with": [7]}, "L")


def test_the_other_products_are_written_back_and_kept_by_a_chosen_set_out() -> None:
    visit = visit_of({"name": "hopscotch", "with": ["S"]}, "L")

    written = written_visit(visit)
    surface = written["spaces"][0]["surfaces"][0]
    surface["pattern"] = {"name": "hopscotch", "origin": "fewest_cuts"}
    again = taken(read_visit(written))

    assert others_of({"with": ["S"]}) == ("S",)
    assert set(again) == {"L", "S"}


def test_each_product_of_a_set_out_to_choose_is_counted_by_itself() -> None:
    visit = visit_of({"name": "hopscotch", "with": ["S"]}, "L")
    assert visit.price_list is not None
    catalogue = catalogue_on(visit.price_list, date(2026, 5, 1))
    (part,) = take_off(visit, catalogue).layers
    found = choices_of(part, catalogue["L"], system="metric")
    assert found is not None

    needed = taken(visit)
    (one,) = [row for row in found.proposals if row.aim == found.chosen]

    assert dict(found.needed_each(one)) == {
        code: int(needed[code].quantity) for code in ("L", "S")
    }
