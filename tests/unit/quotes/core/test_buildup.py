"""What each layer adds to a build-up, and when its turn comes."""

from __future__ import annotations

from materials.core.kinds.mortar import Notch
from materials.core.lengths import NOTHING, Length
from materials.core.need import MaterialFacts
from quotes.core.buildup import (
    LAYER_ROLES,
    STAGES,
    BuildUp,
    Layer,
    has_role,
    thickness_of,
    thickness_up_to,
    tile_layer,
)
from quotes.core.typed import Typed

mm = Length.mm
CATALOGUE = {
    "B": MaterialFacts(
        code="B", name="Board", kind="backer_board", facts={"thickness": mm(12)}
    ),
    "G": MaterialFacts(
        code="G", name="Grout", kind="grout", facts={"thickness": mm(99)}
    ),
}
BOARD = Layer(role="board", material="B")
BED = Layer(
    role="bed",
    settings={"notch": Notch(kind="square", width=mm(10), depth=mm(10)),
              "blade_angle": "90"},
)  # fmt: skip
TILE = Layer(role="tile", thickness=Typed(text="8", length=mm(8)))
WALL = BuildUp(key="w", name="Wall", layers=(BOARD, BED, TILE))


def test_a_layer_is_as_thick_as_typed_combed_or_printed() -> None:
    assert thickness_of(TILE, CATALOGUE) == mm(8)
    assert thickness_of(BED, CATALOGUE) == mm(5)
    assert thickness_of(BOARD, CATALOGUE) == mm(12)
    assert thickness_of(Layer(role="board"), CATALOGUE) == NOTHING


def test_grout_and_its_like_add_nothing() -> None:
    assert thickness_of(Layer(role="grout", material="G"), CATALOGUE) == NOTHING


def test_thickness_adds_up_stage_by_stage() -> None:
    steps = [
        thickness_up_to(WALL, CATALOGUE, stage=STAGES[role])
        for role in ("leveller", "board", "bed", "tile")
    ]

    assert steps == [NOTHING, mm(12), mm(17), mm(25)]


def test_every_role_has_its_stage() -> None:
    assert set(STAGES) == set(LAYER_ROLES)


def test_the_tile_of_a_build_up_is_found() -> None:
    assert tile_layer(WALL) is TILE
    assert tile_layer(BuildUp(key="b", name="B", layers=(BOARD,))) is None
    assert has_role(WALL, "bed")
    assert not has_role(None, "bed")
