"""Plans in one form: cuts replayed, numbers by the order of cutting."""

from __future__ import annotations

from materials.core.cutting.records import Cut, CutSheet, Piece, Rules, Stock
from materials.core.cutting.sheets import plan_sheets
from materials.core.plans.records import StockSize, by_order, cut_lines, left_over

SIZE = StockSize(name="s", words="sheet", width=100, height=200)


def test_cuts_are_replayed_part_by_part() -> None:
    cuts = (Cut(part=0, axis="x", at=40), Cut(part=2, axis="y", at=120))
    sheet = CutSheet(stock="s", pieces=(), cuts=cuts)

    first, second = cut_lines(sheet, SIZE, 3)

    assert (first.start, first.end) == ((40, 0), (40, 200))
    assert second.part == (43, 0, 57, 200)
    assert (second.number, second.start, second.end) == (2, (43, 120), (100, 120))


def test_a_cut_that_leaves_only_dust_numbers_no_part() -> None:
    cuts = (Cut(part=0, axis="x", at=98), Cut(part=1, axis="y", at=50))
    sheet = CutSheet(stock="s", pieces=(), cuts=cuts)

    lines = cut_lines(sheet, SIZE, 3)

    assert lines[1].part == (0, 0, 98, 200)


def test_every_cut_of_a_real_plan_lies_in_its_part() -> None:
    pieces = [Piece(name=str(n), width=11 + 7 * n, height=50 + 9 * n) for n in range(7)]
    plan = plan_sheets(
        pieces, [Stock(name="s", width=100, height=200, price=1)], Rules(kerf=3)
    )

    for sheet in plan.sheets:
        for line in cut_lines(sheet, SIZE, 3):
            x, y, wide, high = line.part
            low, most = (x, x + wide) if line.axis == "x" else (y, y + high)
            assert low < line.at <= most
    assert sorted(by_order(plan).values()) == [1, 2, 3, 4, 5, 6, 7]


def test_what_no_piece_is_made_of_is_left_over() -> None:
    plan = plan_sheets(
        [Piece(name="p", width=60, height=120, turn=False)],
        [Stock(name="s", width=100, height=200, price=1)],
        Rules(),
    )

    rest = left_over(plan.sheets[0], SIZE, 0)

    assert sum(box[2] * box[3] for box in rest) == 100 * 200 - 60 * 120
    bare = CutSheet(stock="s", pieces=plan.sheets[0].pieces, cuts=())
    assert left_over(bare, SIZE, 0) == ()
