"""Invented products, packs and dated prices, in bulk."""

from __future__ import annotations

import random
from datetime import timedelta

from jobs.management.filling import AT_ONCE, FIRST_DAY, copy_of
from materials.core.amounts import from_units
from materials.models import Material, Pack, Price


def fill_prices(most: int, chance: random.Random) -> None:
    """Add products, packs and dated prices until there are so many prices."""
    samples = list(Material.objects.prefetch_related("packs__prices"))
    samples = [one for one in samples if list(one.packs.all())]
    missing = most - Price.objects.count()
    each = 25
    while missing > 0:
        made = []
        for _ in range(min(AT_ONCE, -(-missing // (2 * each)))):
            like = chance.choice(samples)
            code = f"X{chance.getrandbits(48):012x}"
            made.append(
                (like, copy_of(like, code=code, name=f"{like.name} {code[:5]}"))
            )
        Material.objects.bulk_create(row for _like, row in made)
        packs = [
            copy_of(like.packs.all()[0], material_id=row.pk, label=f"pack {place}")
            for like, row in made
            for place in (1, 2)
        ]
        Pack.objects.bulk_create(packs)
        code = Price.objects.values_list("amount_currency", flat=True)[0]
        Price.objects.bulk_create(
            Price(
                pack=pack,
                valid_from=FIRST_DAY + timedelta(days=100 * place),
                amount=from_units(10_000 + chance.randrange(900_000), code),
                origin="invented list",
            )
            for pack in packs
            for place in range(each)
        )
        missing -= len(packs) * each
