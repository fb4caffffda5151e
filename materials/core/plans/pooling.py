"""Needs of one material made one: quantities added, workings and plans kept."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from materials.core.need import Need


def joined(needs: Sequence[Need]) -> Need:
    """Return the needs of one material as one, in the order given.

    Shape: there is at least one.
    """
    whole = needs[0]
    for more in needs[1:]:
        whole = _joined(whole, more)
    return whole


def _joined(one: Need, two: Need) -> Need:
    plans = [plan for plan in (one.plan, two.plan) if plan is not None]
    least = dict(one.least_packs)
    for key, count in two.least_packs.items():
        least[key] = least.get(key, 0) + count
    return replace(
        one,
        quantity=one.quantity + two.quantity,
        loss=one.loss + two.loss,
        least_packs=least,
        working=(*one.working, *two.working),
        bound=" ".join(dict.fromkeys(filter(None, (one.bound, two.bound)))),
        places=tuple(dict.fromkeys((*one.places, *two.places))),
        plan=plans[0] if len(plans) == 1 else _plans(one.plan, two.plan),
        cautions=tuple(dict.fromkeys((*one.cautions, *two.cautions))),
        notes=tuple(dict.fromkeys((*one.notes, *two.notes))),
    )


def _plans(one: object, two: object) -> tuple[object, ...] | None:
    found: list[object] = []
    for plan in (one, two):
        if isinstance(plan, tuple):
            found += plan
        elif plan is not None:
            found.append(plan)
    return tuple(found) or None
