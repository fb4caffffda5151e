"""The sheet of boards: what comes in whole, and kept pieces beside new ones."""

from __future__ import annotations

from fractions import Fraction

from materials.core.lengths import Length
from materials.core.need import RackPiece
from materials.core.plans.board_sheets import NARROWEST, Sheet
from materials.core.plans.racked import NEW_PRICE

mm = Length.mm


def test_a_panel_is_no_wider_than_what_comes_in_unless_it_folds() -> None:
    narrow = Sheet(code="B", words="", width=mm(1200), length=mm(2400), passes=mm(700))
    folded = Sheet(
        code="B", words="", width=mm(1200), length=mm(2400), passes=mm(700), folds=True
    )

    assert narrow.panel == (mm(700), mm(2400))
    assert narrow.rules.most == (mm(700).ticks, mm(2400).ticks)
    assert folded.panel == (mm(1200), mm(2400))
    assert folded.rules.most is None


def test_a_sheet_narrower_than_the_narrowest_panel_is_still_used() -> None:
    strip = Sheet(code="B", words="", width=mm(100), length=mm(2400))

    assert strip.rules.least == mm(100).ticks < NARROWEST.ticks


def test_kept_pieces_stand_after_new_ones_at_their_share_of_the_price() -> None:
    half = RackPiece(
        key="k", words="", width=mm(600), height=mm(2400), value=Fraction(1, 2)
    )
    sheet = Sheet(code="B", words="", width=mm(1200), length=mm(2400), rack=(half,))

    new, kept = sheet.stock

    assert (new.name, new.price, new.count) == ("B", NEW_PRICE, None)
    assert (kept.name, kept.price, kept.count) == ("k", NEW_PRICE // 4, 1)
