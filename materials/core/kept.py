"""A piece worth keeping: which of its sizes matter, and how much of the material it is.

Of a trim or a band only the length matters; a rest of membrane is as wide as its roll
unless somebody says otherwise; everything else has a width and a length.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from moneyed import Money

from materials.core import amounts
from materials.core.errors import OutOfRange, Refusal
from materials.core.lengths import NOTHING, Length
from materials.core.working import length_in

LINE = "line"
ROLL = "roll"
FLAT = "flat"

Facts = Mapping[str, object]

WORTH_KEEPING = Length.mm(300)
"""Shop practice: a shorter rest is not worth its place; a business may keep any."""


def form_of(kind: str, facts: Facts) -> str:
    """Return whether a piece of a material is a length, a rest of roll, or flat."""
    form = str(facts.get("form", ""))
    if kind == "profile" or (kind == "membrane" and form == "band"):
        return LINE
    return ROLL if kind == "membrane" else FLAT


def whole_size(
    kind: str, facts: Facts, width: Length, length: Length
) -> tuple[Length, Length]:
    """Return a piece's width and length, a width left empty taken from its sheet.

    A trim whose height no sheet says is noted a millimetre wide: it has no width that
    anybody measures.

    Raises: Refusal for a liquid; OutOfRange where a size is missing, naming its field.
    """
    if facts.get("form") == "liquid":
        raise Refusal("A liquid is not kept on the rack by its size.", field="material")
    if length <= NOTHING:
        raise OutOfRange("A piece needs a length above nothing.", field="height")
    if width > NOTHING:
        return width, length
    known = length_in(facts, "height" if kind == "profile" else "roll_width")
    form = form_of(kind, facts)
    if form == FLAT or (form == ROLL and not known):
        raise OutOfRange("A piece needs a width above nothing.", field="width")
    return known or Length.mm(1), length


def content_of(
    kind: str, facts: Facts, width: Length, length: Length
) -> Fraction | None:
    """Return how much of its material a piece is, in the unit that material is sold by.

    Units: sheets, pans or lengths as a share of one; metres of roll.
    Shape: None for what is not sold by its size, such as tile by the box, and for a
    material whose sheet does not say its size.
    """
    if form_of(kind, facts) == LINE:
        along = max(width, length)
        bar = length_in(facts, "length")
        if kind != "profile":
            return along.in_m
        return along / bar if bar else None
    area = width.by(length)
    if kind == "membrane":
        across = length_in(facts, "roll_width")
        return area.sq_m / across.in_m if across else None
    sides = {"backer_board": ("width", "length"), "foam_pan": ("width", "depth")}
    one, other = (length_in(facts, side) for side in sides.get(kind, ("", "")))
    return area / one.by(other) if one and other else None


def cost_carried(cost: Money, quantity: Fraction, content: Fraction | None) -> Money:
    """Return what a piece carries of the cost of the goods it is cut from.

    Rounds: half up to the minor unit, never above the whole cost.
    Shape: nought where nothing was bought, or its share cannot be told.
    """
    if content is None or quantity <= 0:
        return amounts.extend(cost, Fraction(0))
    return amounts.extend(cost, min(Fraction(1), content / quantity))
