"""From needs to bought packs to lines: what each material costs and is sold on at.

Needs come pooled over the job. What we supply is bought in the cheapest whole packs;
what the client or others supply is counted and listed, and costs nothing.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from fractions import Fraction

from moneyed import Money

from materials.core import amounts
from materials.core.need import MaterialFacts, Need, PackFacts, Step
from materials.core.packaging import PackCount, cheapest_packs
from materials.core.pricelist import material_of, priced_packs
from materials.core.quantities import decimal_text
from quotes.core.document import BoughtPack, Line, Overruled
from quotes.core.frozen import money_text
from quotes.core.overrules import (
    LARGEST_QUANTITY,
    Overrules,
)
from quotes.core.pricing import Addition, percent
from quotes.core.settled import overruled_step, settled_line

SECTIONS = {
    "backer_board": "boards",
    "fixing": "boards",
    "foam_pan": "floor",
    "grout": "tile",
    "linear_drain": "floor",
    "membrane": "boards",
    "mortar": "tile",
    "profile": "tile",
    "sealant": "finish",
    "tile": "tile",
}
"""The part of the offer that carries each kind of material."""

MORTAR_SECTIONS = {"leveller": "prepare", "primer": "prepare", "bed": "floor"}
"""Mortars that belong elsewhere than with the tile, by their use."""

BY_WHOM = {
    "us": "",
    "client": "supplied by the client",
    "others": "supplied by others",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Terms:
    """What every material line is worked out with.

    `purchase_tax` is the tax on purchases that cannot be recovered, as a share;
    `trimmed` the shares of each pan that are cut off and that are racked.
    """

    catalogue: Mapping[str, MaterialFacts]
    on: date
    code: str
    addition: Addition
    overrules: Overrules
    purchase_tax: Fraction = Fraction(0)
    trimmed: Mapping[str, tuple[Fraction, Fraction]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Bought:
    """Packs of one line, what they cost, and how that was found."""

    packs: tuple[BoughtPack, ...]
    cost: Money
    left_over: Fraction
    noted: tuple[Overruled, ...]
    steps: tuple[Step, ...]


def line_key(need: Need) -> str:
    """Return the key of a need's line: its material, and who supplies it if not us."""
    supplied = "" if need.supplied_by == "us" else f":{need.supplied_by}"
    return f"material:{need.material}{supplied}"


def material_line(need: Need, terms: Terms) -> Line:
    """Return the line of one need: packs, cost, price, and the share trimmed off.

    Rounds: each pack size once (count × price), purchase tax once, price once, all
    half up to the minor unit.
    Raises: Unknown for a material the price list does not have; OutOfRange when it
    has no price on the date; NothingInTheBox for a pack that holds nothing.
    """
    material = material_of(terms.catalogue, need.material)
    key = line_key(need)
    owner = terms.overrules.number(key, "quantity", most=LARGEST_QUANTITY)
    quantity = need.quantity if owner is None else owner
    computed = decimal_text(need.quantity, places=3)
    noted = terms.overrules.note(key, "quantity", computed)
    bought = _bought(need, material, quantity, terms)
    tax = amounts.percent_of(bought.cost, terms.purchase_tax)
    cost = amounts.total((bought.cost, tax), terms.code)
    line = settled_line(
        Line(
            key=key,
            cost_class="materials",
            section=_section(material),
            text=material.name,
            material=need.material,
            supplied_by=need.supplied_by,
            quantity=quantity,
            unit=need.unit,
            packs=bought.packs,
            left_over=bought.left_over,
            cost=cost,
            price=cost,
            purchase_tax=tax if tax.amount else None,
            places=need.places,
            overruled=(*noted, *bought.noted),
            working=(
                *need.working,
                *(overruled_step(note, need.unit) for note in noted),
                *bought.steps,
                *_tax_steps(bought.cost, tax, terms),
            ),
        ),
        addition=terms.addition,
        overrules=terms.overrules,
    )
    return _with_trimmed(line, terms)


def _section(material: MaterialFacts) -> str:
    if material.kind == "mortar":
        return MORTAR_SECTIONS.get(str(material.facts.get("use", "")), "tile")
    return SECTIONS.get(material.kind, "tile")


def _tax_steps(cost: Money, tax: Money, terms: Terms) -> tuple[Step, ...]:
    if not tax.amount:
        return ()
    return (
        Step(
            label="Tax on the purchase, not recoverable",
            formula=f"{amounts.plain(cost)} × {percent(terms.purchase_tax)}",
            result=amounts.plain(tax),
        ),
    )


def _bought(
    need: Need, material: MaterialFacts, quantity: Fraction, terms: Terms
) -> _Bought:
    """Return the packs of a need, at nil cost where somebody else supplies them."""
    ours = need.supplied_by == "us"
    if not ours and not material.packs:
        return _Bought(
            packs=(),
            cost=amounts.zero(terms.code),
            left_over=Fraction(0),
            noted=(),
            steps=(Step(label=BY_WHOM[need.supplied_by].capitalize(), result="nil"),),
        )
    packs = priced_packs(material, terms.on)
    choice = cheapest_packs(quantity, packs, least=_least(need, quantity))
    computed = " + ".join(f"{item.count} {item.pack.label}" for item in choice.packs)
    key = line_key(need)
    noted = terms.overrules.note(key, "packs", computed or "0")
    owner = terms.overrules.packs(key, {pack.key: pack for pack in packs})
    counts = choice.packs if owner is None else owner
    held = sum((item.content for item in counts), Fraction(0))
    steps = [*choice.working, *(overruled_step(note) for note in noted)]
    if owner is not None and held < quantity:
        steps.append(_short_step(held, quantity, need.unit))
    bought = tuple(_pack(item, terms, ours=ours) for item in counts)
    if ours:
        steps += map(_pack_step, counts, bought)
    else:
        steps.append(Step(label=BY_WHOM[need.supplied_by].capitalize(), result="nil"))
    return _Bought(
        packs=bought,
        cost=amounts.total((pack.cost for pack in bought), terms.code),
        left_over=max(Fraction(0), held - quantity),
        noted=noted,
        steps=tuple(steps),
    )


def _least(need: Need, quantity: Fraction) -> Mapping[str, int]:
    """Return the packs a plan has counted, unless the owner set another quantity."""
    return need.least_packs if quantity == need.quantity else {}


def _short_step(held: Fraction, quantity: Fraction, unit: str) -> Step:
    return Step(
        label="Caution",
        formula=f"the packs hold {decimal_text(held, places=3)} {unit}, "
        f"the need is {decimal_text(quantity, places=3)} {unit}",
        result="the packs do not cover the need",
    )


def _pack(item: PackCount, terms: Terms, *, ours: bool) -> BoughtPack:
    each = amounts.from_units(item.price if ours else 0, terms.code)
    return BoughtPack(
        key=item.pack.key,
        label=item.pack.label,
        count=item.count,
        content=item.pack.content,
        each=each,
        cost=amounts.extend(each, Fraction(item.count)),
        supplier=item.pack.supplier,
    )


def _pack_step(item: PackCount, pack: BoughtPack) -> Step:
    return Step(
        label=f"{pack.label}",
        formula=f"{pack.count} × {money_text(pack.each)}{_priced_where(item.pack)}",
        result=amounts.plain(pack.cost),
    )


def _priced_where(pack: PackFacts) -> str:
    said = [pack.supplier, pack.origin]
    if pack.valid_from:
        said.append(f"price from {pack.valid_from}")
    words = ", ".join(part for part in said if part)
    return f" ({words})" if words else ""


def _with_trimmed(line: Line, terms: Terms) -> Line:
    """Return the line with the money cut off a pan, which stays within its cost.

    Cost × trimmed plan area ÷ whole plan area, half up, less the same for what goes
    to the rack.
    """
    shares = terms.trimmed.get(line.material)
    if shares is None or line.supplied_by != "us":
        return line
    trimmed, racked = (amounts.extend(line.cost, share) for share in shares)
    lost = amounts.total((trimmed, -racked), terms.code)
    plain = amounts.plain
    formula = f"{plain(line.cost)} × {percent(shares[0])}, trimmed ÷ whole plan area"
    if racked.amount:
        formula += f", less {plain(racked)} kept on the rack"
    step = Step(
        label="Trimmed off, within the cost", formula=formula, result=plain(lost)
    )
    return replace(line, trimmed_off=lost, working=(*line.working, step))
