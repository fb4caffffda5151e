"""A public packing library as the peer that must never be better: its guillotine rules.

Eighteen rules by three orders of the pieces, first fit over sheets, quarter turns: 54
plans, and the best of them counts.
"""

from __future__ import annotations

from typing import Any

from bench.cutting_jobs import Rectangle

FITS = ("Bssf", "Blsf", "Baf")
SPLITS = ("Sas", "Las", "Slas", "Llas", "Maxas", "Minas")


def best_of_rules(sizes: list[Rectangle], sheet: Rectangle) -> int:
    """Return the fewest sheets that any of the 54 rules needs."""
    import rectpack

    names = [f"Guillotine{fit}{split}" for fit in FITS for split in SPLITS]
    sorts = (rectpack.SORT_AREA, rectpack.SORT_LSIDE, rectpack.SORT_SSIDE)
    best = len(sizes)
    for name in names:
        for sort in sorts:
            packer: Any = rectpack.newPacker(
                mode=rectpack.PackingMode.Offline,
                bin_algo=rectpack.PackingBin.BFF,
                pack_algo=getattr(rectpack, name),
                sort_algo=sort,
                rotation=True,
            )
            for width, height in sizes:
                packer.add_rect(width, height)
            packer.add_bin(*sheet, count=best)
            packer.pack()
            if sum(len(one) for one in packer) == len(sizes):
                best = min(best, len(packer))
    return best
