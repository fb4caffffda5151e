"""What a table of prices would change, row by row, before anything is changed.

The rows are held against the price list as it stands, and each against those before it:
the first of two rows may add the product that the second one prices. What a row says
that is already so is left alone, so the same table can be taken twice.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from datetime import date
from fractions import Fraction

from materials.core import amounts
from materials.core.errors import OutOfRange, Refusal, Unknown
from materials.core.kind import read_facts
from materials.core.kinds import kind_of
from materials.core.pricelist import (
    DatedPrice,
    ListedPack,
    PriceList,
    kept_content,
    price_on,
)
from materials.core.quantities import decimal_text
from materials.core.tables.price_columns import PriceRow, read_facts_text
from materials.core.tables.price_records import (
    Outcome,
    PackStep,
    PriceStep,
    ProductStep,
    Step,
    Verdict,
)
from materials.core.tables.price_standing import (
    Product,
    Standing,
    pack_key,
    standing_of,
)

SLIP = 5
"""A price so many times the one before, or its part, is pointed at."""


def compared(
    rows: Iterable[PriceRow],
    prices: PriceList,
    *,
    system: str,
    today: date,
    retired: Collection[str] = (),
) -> tuple[Outcome, ...]:
    """Return what each row would do to the price list.

    Units: amounts in 1/10,000 of the currency. `retired` are codes no longer in use.
    Raises: nothing; a row that cannot be taken is refused in its outcome.
    """
    standing = standing_of(prices, system, today, retired)
    outcomes = []
    for row in rows:
        try:
            outcomes.append(_judged(row, standing))
        except Refusal as refusal:
            outcomes.append(
                Outcome(
                    line=row.line,
                    verdict="refused",
                    code=row.cells.get("code", "")[:40],
                    name=row.cells.get("name", "")[:80],
                    pack=row.cells.get("pack", "")[:80],
                    sentence=refusal.sentence,
                )
            )
    return tuple(outcomes)


def _judged(row: PriceRow, standing: Standing) -> Outcome:
    code = _code(row, standing)
    product, product_step = _product(row, code, standing)
    pack, pack_step = _pack(row, product, standing)
    price_step, before, sentence = _price(row, product, pack, standing)
    steps: list[Step] = [
        step for step in (product_step, pack_step, price_step) if step is not None
    ]
    verdict: Verdict = "same"
    if product_step is not None:
        verdict = "new product" if product_step.is_new else "changed"
    elif pack_step is not None:
        verdict = "new pack"
    elif price_step is not None:
        verdict = "new price" if before is None else "changed"
    price = price_step.price if price_step else None
    standing.keep(row.line, product, pack, price)
    return Outcome(
        line=row.line,
        verdict=verdict,
        code=product.code,
        name=product.name,
        pack=pack.label if pack else "",
        before=before,
        after=price.amount if price else None,
        sentence=sentence,
        steps=tuple(steps),
    )


def _code(row: PriceRow, standing: Standing) -> str:
    """Return the product's code: named, or found by the merchant's own."""
    code = row.text("code")
    if code:
        return code
    theirs = row.text("merchant").casefold(), row.text("merchant_code").casefold()
    found = standing.by_supplier_code.get(theirs, []) if all(theirs) else []
    if len(found) != 1:
        raise Unknown(
            "The row names no code, and no single pack of the price list has this "
            "merchant and merchant_code."
        )
    return found[0][0]


def _product(
    row: PriceRow, code: str, standing: Standing
) -> tuple[Product, ProductStep | None]:
    known = standing.products.get(code.casefold())
    name, kind, facts = row.text("name"), row.text("kind"), row.text("facts")
    if known is None:
        return _new_product(row, code, standing)
    if kind and kind != known.kind:
        raise OutOfRange(
            f"{known.code} is a {known.kind}, not a {kind}; another kind of product "
            "has a code of its own."
        )
    typed = read_facts_text(facts) if facts else known.typed
    if _alike(typed, known.typed) and name in ("", known.name):
        return known, None
    read_facts(kind_of(known.kind), typed, system=standing.system)
    changed = Product(
        code=known.code,
        name=name or known.name,
        kind=known.kind,
        typed=dict(typed),
        packs=known.packs,
    )
    return changed, _product_step(changed, is_new=False)


def _alike(one: Mapping[str, object], other: Mapping[str, object]) -> bool:
    def texts(facts: Mapping[str, object]) -> dict[str, str]:
        return {
            name: {True: "yes", False: "no"}.get(value, str(value))
            if isinstance(value, bool)
            else str(value)
            for name, value in facts.items()
        }

    return texts(one) == texts(other)


def _new_product(
    row: PriceRow, code: str, standing: Standing
) -> tuple[Product, ProductStep]:
    name, kind = row.text("name"), row.text("kind")
    if code.casefold() in standing.retired:
        raise OutOfRange(f"{code} is no longer in use; give the product a new code.")
    if not name or not kind:
        raise Unknown(
            f"The price list has no product {code}; to add it, the row needs its "
            "name, kind and facts."
        )
    typed = read_facts_text(row.text("facts"))
    read_facts(kind_of(kind), typed, system=standing.system)
    made = Product(code=code, name=name, kind=kind, typed=typed)
    return made, _product_step(made, is_new=True)


def _product_step(product: Product, *, is_new: bool) -> ProductStep:
    return ProductStep(
        code=product.code,
        name=product.name,
        kind=product.kind,
        facts=product.typed,
        is_new=is_new,
    )


def _pack(
    row: PriceRow, product: Product, standing: Standing
) -> tuple[ListedPack | None, PackStep | None]:
    """Return the pack a row is about, and the step that adds it if it is new."""
    merchant, label = row.text("merchant"), row.text("pack")
    if merchant and label:
        known = product.packs.get(pack_key(product.code, merchant, label))
        if known is None:
            return _new_pack(row, product, standing)
    else:
        known = _only_pack(row, product)
    if known is not None and row.text("holds"):
        _check_content(row, product, known, standing)
    return known, None


def _only_pack(row: PriceRow, product: Product) -> ListedPack | None:
    """Return the one pack that what is named of it leaves."""
    asked = {
        name: row.text(name).casefold()
        for name in ("merchant", "pack", "merchant_code")
        if row.text(name)
    }
    if not asked and not row.text("price"):
        return None
    left = [
        pack
        for pack in product.packs.values()
        if asked.get("merchant") in (None, pack.supplier.casefold())
        and asked.get("pack") in (None, pack.label.casefold())
        and asked.get("merchant_code") in (None, pack.supplier_code.casefold())
    ]
    if len(left) != 1:
        count = "no pack" if not left else f"{len(left)} packs"
        raise Unknown(
            f"{product.code} has {count} that the row could mean; name merchant and "
            "pack."
        )
    return left[0]


def _content(row: PriceRow, product: Product, standing: Standing) -> Fraction:
    kind = kind_of(product.kind)
    facts = read_facts(kind, product.typed, system=standing.system)
    content = kept_content(kind.content_of(row.number("holds"), facts))
    if content <= 0:
        raise OutOfRange("A pack holds more than nothing.")
    return content


def _check_content(
    row: PriceRow, product: Product, known: ListedPack, standing: Standing
) -> None:
    if _content(row, product, standing) != known.content:
        raise OutOfRange(
            f"{known.label} holds {known.content_text}, not {row.text('holds')}; "
            "a pack of another size has a label of its own."
        )


def _new_pack(
    row: PriceRow, product: Product, standing: Standing
) -> tuple[ListedPack, PackStep]:
    if not row.text("holds"):
        raise Unknown(
            f"{product.code} has no pack “{row.text('pack')}” of "
            f"{row.text('merchant')}; to add it, the row needs what it holds."
        )
    step = PackStep(
        code=product.code,
        supplier=row.text("merchant"),
        label=row.text("pack"),
        content=_content(row, product, standing),
        supplier_code=row.text("merchant_code"),
        lead_days=row.whole("lead_days", default=0, least=0),
        special_order=row.yes("special_order", default=False),
        returnable=row.yes("returnable", default=True),
    )
    made = ListedPack(
        key="",
        label=step.label,
        content=step.content,
        supplier=step.supplier,
        content_text=decimal_text(step.content, places=6),
        supplier_code=step.supplier_code,
    )
    return made, step


def _price(
    row: PriceRow, product: Product, pack: ListedPack | None, standing: Standing
) -> tuple[PriceStep | None, int | None, str]:
    """Return the price to enter, what it was before, and what to look at twice."""
    if not row.text("price"):
        return None, None, ""
    if pack is None:
        raise Unknown("A price is of a pack; name merchant and pack.")
    if row.text("currency") not in ("", standing.currency):
        raise OutOfRange(
            f"The price list is in {standing.currency}, not {row.text('currency')}."
        )
    price = _dated(row, standing)
    key = pack_key(product.code, pack.supplier, pack.label), price.valid_from
    earlier = standing.entered.get((*key, price.least_packs))
    if earlier is not None:
        line, amount = earlier
        if amount != price.amount:
            raise OutOfRange(f"Line {line} gives the same pack another price.")
        return None, amount, ""
    before = _amount_before(pack, price)
    stands = price_on(pack, price.valid_from, packs=price.least_packs)
    if before == price.amount and stands is not None:
        same_end = row.day("valid_until") in (None, stands.valid_until)
        if same_end:
            return None, before, ""
    step = PriceStep(
        code=product.code, supplier=pack.supplier, label=pack.label, price=price
    )
    return step, before, _slip(before, price.amount)


def _dated(row: PriceRow, standing: Standing) -> DatedPrice:
    amount = amounts.unit_price(row.number("price"), standing.currency)
    begins = row.day("valid_from") or standing.today
    ends = row.day("valid_until")
    if ends is not None and ends < begins:
        raise OutOfRange("valid_until lies before valid_from.")
    units = amounts.to_units(amount)
    if units < 0:
        raise OutOfRange("A price is not below nothing.")
    return DatedPrice(
        valid_from=begins,
        valid_until=ends,
        amount=units,
        least_packs=row.whole("least_packs", default=1, least=1),
        origin=row.text("origin"),
    )


def _amount_before(pack: ListedPack, price: DatedPrice) -> int | None:
    """Return what so many packs cost on that day; a break that is new costs nothing."""
    for known in pack.prices:
        if (known.valid_from, known.least_packs) == (
            price.valid_from,
            price.least_packs,
        ):
            return known.amount
    found = price_on(pack, price.valid_from, packs=price.least_packs)
    if found is None or found.least_packs != price.least_packs:
        return None
    return found.amount


def _slip(before: int | None, after: int) -> str:
    if before and (after >= SLIP * before or before >= SLIP * after):
        return "Very far from the price before; look at the decimal point."
    return ""
