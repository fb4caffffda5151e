"""What comes in and turns: boards are split or folded to it, the rest is said."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from materials.core.kinds.backer_board import is_folded
from materials.core.lengths import NOTHING, Length
from materials.core.need import MaterialFacts
from materials.core.plans.records import MaterialPlan
from materials.core.sources import Source
from materials.core.working import length_in
from quotes.core.extents import LayerExtent
from quotes.core.taken import SHOP, Caution
from quotes.core.visit import Site, Visit

ACCESS = Source.shop_practice("a sheet must pass the way in and turn in the space")


def widest_that_comes_in(site: Site) -> Length:
    """Return the shorter side of the largest sheet that comes in and turns.

    Nothing where neither way in nor turning space was measured. A sheet passes on its
    edge where its shorter side is no larger than the opening's larger one; it turns
    where that side is no larger than the clear space.
    """
    limits = []
    if site.access_width and site.access_height:
        limits.append(max(site.access_width.length, site.access_height.length))
    if site.turning and site.turning.length > NOTHING:
        limits.append(site.turning.length)
    return min(limits, default=NOTHING)


def board_runs(
    boards: Mapping[str, Sequence[MaterialPlan]],
    catalogue: Mapping[str, MaterialFacts],
) -> dict[str, object]:
    """Return the seams of all boards by place, and the folds that want a band.

    A fold counts as a seam unless the board's sheet says otherwise (`fold_band`).
    """
    seams: dict[str, tuple[int, ...]] = {}
    folds: dict[str, tuple[int, ...]] = {}
    for code, plans in boards.items():
        is_banded = catalogue[code].facts.get("fold_band") is not False
        for plan in plans:
            for place, runs in plan.seams.items():
                seams[place] = (*seams.get(place, ()), *runs)
            for place, runs in plan.folds.items() if is_banded else ():
                folds[place] = (*folds.get(place, ()), *runs)
    return {"seams": seams, "folds": folds}


def access_cautions(visit: Visit, extents: Sequence[LayerExtent]) -> Iterator[Caution]:
    """Yield which sheet, pan or tile does not come in or does not turn."""
    site = visit.site
    gate = [typed.length for typed in (site.access_width, site.access_height) if typed]
    seen: set[str] = set()
    for one in extents:
        material = one.placed.standing.catalogue.get(one.layer.material)
        if material is None or material.code in seen:
            continue
        if material.kind not in ("backer_board", "foam_pan", "tile"):
            continue
        seen.add(material.code)
        sides = sorted(
            (
                length_in(material.facts, "width"),
                length_in(material.facts, "length", length_in(material.facts, "depth")),
            )
        )
        system = visit.system
        done = _what_is_done(material, widest_that_comes_in(site), system)
        if len(gate) == 2 and sides[0] > max(gate):
            yield _for_shop(
                "does_not_pass",
                f"{material.name} is {sides[0].text(system)} on its shorter side; "
                f"the way in is {max(gate).text(system)} at most. {done}",
            )
        turning = site.turning.length if site.turning else NOTHING
        if turning and sides[1] > turning and sides[0] > turning:
            yield _for_shop(
                "does_not_turn",
                f"{material.name}, {sides[0].text(system)} × "
                f"{sides[1].text(system)}, does not turn in "
                f"{turning.text(system)}. {done}",
            )


def _for_shop(code: str, sentence: str) -> Caution:
    return Caution(code=code, sentence=sentence, source=ACCESS, reader=SHOP)


def _what_is_done(material: MaterialFacts, widest: Length, system: str) -> str:
    """Return what the plan does about it, or what the setter has to do."""
    if material.kind == "foam_pan":
        return (
            "Order it in parts if its maker sells it so, or take another way in; "
            "the plan cannot split a sloped floor."
        )
    if material.kind == "tile":
        return "Choose a smaller tile or another way in."
    if is_folded(material.facts):
        sentence = (
            "The plan scores its back and folds it, so that the waterproof face stays "
            f"whole and no part is wider than {widest.text(system)}; "
        )
        if material.facts.get("fold_band") is False:
            return sentence + "its sheet asks for no band over the fold."
        return sentence + (
            "the fold counts as a seam and is banded, unless the maker's sheet says "
            "otherwise."
        )
    return f"The plan splits it: no panel is wider than {widest.text(system)}."
