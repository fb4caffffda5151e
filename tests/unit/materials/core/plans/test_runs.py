"""What is banded: corners as often as they stand, seams and folds by place."""

from __future__ import annotations

from materials.core.areas import Area
from materials.core.kind import Lot
from materials.core.lengths import NOTHING, Length
from materials.core.need import Extent
from materials.core.plans.runs import (
    corner_runs,
    fold_runs,
    guessed_seams,
    run_total,
    seam_runs_of,
)

mm = Length.mm


def a_lot(place: str = "Wall", **settings: object) -> Lot:
    extent = Extent(
        place=place,
        role="wall",
        outline=((0, 0), (1, 0), (1, 1)),
        area=Area(mm(2000).ticks * mm(1000).ticks),
        inside_corners=mm(500),
        outside_corners=mm(200),
        corner_runs=(mm(300), mm(200), mm(200)),
        times=2,
    )
    return Lot(extents=(extent,), settings=settings)


def test_corners_stand_run_by_run_as_often_as_the_surface() -> None:
    runs = corner_runs(a_lot())

    assert [length for _, length in runs] == [
        mm(one).ticks for one in (300, 200, 200, 300, 200, 200)
    ]
    assert run_total(runs) == mm(1400)


def test_seams_are_banded_only_where_the_layer_says_all() -> None:
    told = {"Wall": (5, 6), "Elsewhere": (7,)}

    assert seam_runs_of(a_lot(along="all", seams=told)) == [("Wall", 5), ("Wall", 6)]
    assert seam_runs_of(a_lot(seams=told)) == []
    assert fold_runs(a_lot(folds=told)) == [("Wall", 5), ("Wall", 6)]


def test_seams_no_plan_speaks_of_are_bounded_by_the_sheet_s_width() -> None:
    sheet = mm(800)

    assert guessed_seams(a_lot(along="all", sheet_width=sheet)) == mm(5000)
    known = a_lot(along="all", sheet_width=sheet, seams={"Wall": ()})
    assert guessed_seams(known) == NOTHING
    assert guessed_seams(a_lot(sheet_width=sheet)) == NOTHING
