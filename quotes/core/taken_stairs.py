"""The flights of a visit as they are to be set, and what must be said of each."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from materials.core.lengths import NOTHING
from quotes.core.buildup import thickness_of, tile_layer
from quotes.core.flights import flight_of, is_flight, stairs_of
from quotes.core.stairs import LIMIT_SOURCE
from quotes.core.standing import Placed
from quotes.core.taken import SHOP, Caution, TakenStairs


def taken_stairs(placed: Sequence[Placed]) -> tuple[TakenStairs, ...]:
    """Return every flight with its steps, in the order of the file."""
    return tuple(
        TakenStairs(
            place=one.place,
            times=one.times,
            flight=flight_of(one.surface.shape),
            stairs=stairs_of(one.surface.shape),
            own_limit="limit" in one.surface.shape.sizes,
        )
        for one in placed
        if is_flight(one.surface)
    )


def stair_cautions(placed: Sequence[Placed]) -> Iterator[Caution]:
    """Yield for each flight that stairs are measured and ruled, and what is wrong."""
    for one in placed:
        if is_flight(one.surface):
            yield from _uneven(one)
            yield from _other_tile(one)
            yield Caution(
                code="stairs",
                sentence=(
                    f"{one.place}: people fall on uneven stairs. Local rules say how "
                    "high, how deep and how alike steps must be, and what nosings and "
                    "handrails they need; they go before this paper."
                ),
                place=one.place,
                source=LIMIT_SOURCE,
            )


def _uneven(one: Placed) -> Iterator[Caution]:
    found, system = stairs_of(one.surface.shape), one.standing.system
    if found.is_even:
        return
    rule = (
        "the limit given"
        if "limit" in one.surface.shape.sizes
        else f"{LIMIT_SOURCE.title}, {LIMIT_SOURCE.place}"
    )
    yield Caution(
        code="uneven_stairs",
        sentence=(
            f"{one.place}: with the best beds the risers still differ by "
            f"{found.difference.text(system)}, more than {found.limit.text(system)} "
            f"({rule}). Take off at the high treads, or change what is laid at the "
            "bottom or on the landing."
        ),
        place=one.place,
        source=LIMIT_SOURCE,
    )


def _other_tile(one: Placed) -> Iterator[Caution]:
    """Say where the tile of the build-up is not as thick as was taken for the beds."""
    build_up = one.build_up_of(None)
    layer = tile_layer(build_up) if build_up else None
    if layer is None:
        return
    thick = thickness_of(layer, one.standing.catalogue)
    taken, system = flight_of(one.surface.shape).tile, one.standing.system
    if thick > NOTHING and thick != taken:
        yield Caution(
            code="stairs_tile",
            sentence=(
                f"{one.place}: the beds are worked out for a tile of "
                f"{taken.text(system)}, but the one chosen is "
                f"{thick.text(system)} thick."
            ),
            place=one.place,
            reader=SHOP,
        )
