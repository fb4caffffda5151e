"""Where a niche had better stand, as a sentence a setter can act on."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from django.utils.translation import gettext as _

from materials.core.lengths import Length
from materials.core.need import MaterialFacts
from quotes.core.niche_advice import Advice, niche_advice
from quotes.core.takeoff import Takeoff
from quotes.core.visit import Visit
from quotes.presenters.set_outs import plans_of


def niche_sentences(
    visit: Visit, takeoff: Takeoff, catalogue: Mapping[str, MaterialFacts]
) -> tuple[str, ...]:
    """Return what is to be moved before framing, for the set-outs that stand."""
    return tuple(
        f"{place}: {advice_words(advice, visit.system)}"
        for place, advice in _advised(visit, takeoff, catalogue)
    )


def _advised(
    visit: Visit, takeoff: Takeoff, catalogue: Mapping[str, MaterialFacts]
) -> Iterator[tuple[str, Advice]]:
    tallies = {
        (need.material, place): tally
        for need in takeoff.needs
        for plan in plans_of(need)
        for place, tally in zip(plan.places, plan.tallies, strict=True)
    }
    for part in takeoff.layers:
        tally = tallies.get((part.material, part.place))
        if part.role != "tile" or not part.holes or tally is None:
            continue
        for advice in niche_advice(
            part,
            tally,
            catalogue[part.material],
            system=visit.system,
            reach=visit.rules.niche_reach,
        ):
            yield part.place, advice


def advice_words(advice: Advice, system: str) -> str:
    """Return an advice as a sentence a setter can act on."""

    def size(ticks: int) -> str:
        return Length(ticks).text(system)

    moves = []
    if advice.right:
        way = _("to the right") if advice.right > 0 else _("to the left")
        moves.append(f"{size(abs(advice.right))} {way}")
    if advice.up:
        way = _("up") if advice.up > 0 else _("down")
        moves.append(f"{size(abs(advice.up))} {way}")
    return _(
        "Before framing: move the opening of %(width)s × %(height)s that stands "
        "%(left)s from the left and %(bottom)s up by %(move)s; the narrowest strip "
        "beside it is then %(then)s instead of %(now)s."
    ) % {
        "width": size(advice.width), "height": size(advice.height),
        "left": size(advice.left), "bottom": size(advice.bottom),
        "move": _(" and ").join(moves),
        "then": size(advice.cut_then), "now": size(advice.cut),
    }  # fmt: skip
