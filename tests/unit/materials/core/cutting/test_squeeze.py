"""Squeeze: a tight packing is found, an impossible one is given up."""

from __future__ import annotations

from random import Random

from materials.core.cutting.greedy import Packer
from materials.core.cutting.squeeze import Squeeze


def squeezed(count: int) -> bool:
    ways = [((3, 2, False, False, False), (2, 3, True, False, False))]
    squeeze = Squeeze(Packer(ways, dust=0, least=0), [[6]], [(6, 6)])
    squeeze.start([0] * count, Random(1))
    return squeeze.run(Random(1), 20_000, lambda: False)


def test_six_fit_and_seven_do_not() -> None:
    assert squeezed(6)
    assert not squeezed(7)
