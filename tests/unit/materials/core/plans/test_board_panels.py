"""Panels from the lower left, with the place each one has on its surface."""

from __future__ import annotations

from materials.core.lengths import Length
from materials.core.outlines import rectangle
from materials.core.plans.board_panels import (
    Field,
    cut_pieces,
    has_free_seams,
    panels_of,
    walls_of,
)

mm = Length.mm


def ticks(*sizes: int) -> tuple[int, ...]:
    return tuple(mm(size).ticks for size in sizes)


def a_field(
    *box: int, holes: tuple[tuple[int, ...], ...] = (), times: int = 1
) -> Field:
    return Field(
        place="Wall",
        outline=rectangle(*ticks(*box)),
        holes=tuple(tuple(reversed(rectangle(*ticks(*hole)))) for hole in holes),
        times=times,
    )


def test_panels_know_where_they_lie() -> None:
    panels = panels_of(a_field(50, 10, 1550, 2410), mm(1200), mm(2400))

    assert [(p.left, p.bottom) for p in panels] == [ticks(50, 10), ticks(1250, 10)]
    assert [p.name for p in cut_pieces(panels)] == ["Part 1, Wall", "Part 2, Wall"]


def test_seams_are_free_on_a_rectangle_with_small_openings() -> None:
    niche = (100, 100, 400, 400)
    door = (100, 0, 900, 2000)

    assert has_free_seams(a_field(0, 0, 2000, 2400, holes=(niche,)), mm(900))
    assert not has_free_seams(a_field(0, 0, 2000, 2400, holes=(door,)), mm(900))


def test_repeats_are_walls_of_their_own_and_openings_go_by_the_corner() -> None:
    field = a_field(50, 10, 1050, 2410, holes=((150, 110, 350, 410),), times=2)

    one, two = walls_of(field, "1 Wall")

    assert (one.name, two.name) == ("1 Wall, 1", "1 Wall, 2")
    assert one.whole == (ticks(100, 100, 200, 300),)
