"""The cutting problems of a visit's boards, before anything is planned.

Plans that were kept are found by them, so that a takeoff can be given those it needs.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from materials.core.kind import Lot
from materials.core.kinds.backer_board import board_problem
from materials.core.need import MaterialFacts, Need
from materials.core.plans.board_records import digest_of
from materials.core.plans.records import MaterialPlan, plans_of
from quotes.core.extents import LayerExtent, layer_extents
from quotes.core.layer_settings import grouped, settings_of, with_rack_once
from quotes.core.standing import placed_surfaces
from quotes.core.visit import Visit


def board_problems(
    visit: Visit, catalogue: Mapping[str, MaterialFacts]
) -> tuple[str, ...]:
    """Return the digest of each cutting problem that the visit's boards are.

    Raises: Refusal as the takeoff does, for shapes that are none.
    """
    layers = [
        one
        for surface in placed_surfaces(visit, catalogue)
        for one in layer_extents(surface)
        if _is_board(one.layer.material, catalogue)
    ]
    pools: dict[tuple[object, ...], list[list[LayerExtent]]] = {}
    for key, group in grouped(layers, catalogue, visit).items():
        pools.setdefault(key[:2], []).append(group)
    lent: set[str] = set()
    problems = []
    for pool in pools.values():
        first = pool[0][0]
        material = with_rack_once(catalogue[first.layer.material], first, lent)
        lots = [
            Lot(
                extents=tuple(one.extent for one in group),
                settings=settings_of(group[0], catalogue, visit),
            )
            for group in pool
        ]
        problems.append(board_problem(material, lots))
    return tuple(dict.fromkeys(map(digest_of, problems)))


def _is_board(code: str, catalogue: Mapping[str, MaterialFacts]) -> bool:
    return code in catalogue and catalogue[code].kind == "backer_board"


def racked_by(needs: Sequence[Need]) -> list[str]:
    """Return the pieces of the rack that the plans of needs take, by key."""
    return [key for need in needs for plan in plans_of(need) for key in plan.taken]


def board_plans(needs: Sequence[Need]) -> tuple[MaterialPlan, ...]:
    """Return the plans of boards among needs, also those of needs that were joined."""
    return tuple(plan for need in needs for plan in plans_of(need) if plan.problem)
