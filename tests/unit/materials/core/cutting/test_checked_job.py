"""The checker reads a job exactly as it was asked for."""

from __future__ import annotations

from fractions import Fraction

from materials.core.cutting.checked_job import AskedJob

PIECES = [{"name": "a", "width": "12 1/2", "height": 3, "turn": False}]
STOCK = [{"name": "s", "width": 48, "height": "96", "price": "41.50", "count": 2}]


def test_numbers_stay_exact_and_what_is_left_out_has_its_default() -> None:
    asked = AskedJob.read({"unit": "in", "stock": STOCK, "pieces": PIECES})

    assert asked.kerf == asked.snap == 0
    assert asked.leftover is None
    assert (asked.stock[0].price, asked.stock[0].count) == (4150, 2)
    assert asked.pieces[0].ways() == [(Fraction(25, 2), Fraction(3))]
    assert asked.pieces[0].count == 1


def test_a_length_has_a_height_that_takes_no_kerf() -> None:
    asked = AskedJob.read(
        {
            "bin": "length",
            "kerf": "1/8",
            "leftover": 6,
            "stock": [{"name": "s", "length": 96}],
            "pieces": [{"name": "a", "length": 24, "count": 4}],
        }
    )

    assert asked.grown(Fraction(24), Fraction(1)) == (Fraction(193, 8), 1)
    assert asked.leftover == (6, 1)
    assert asked.pieces[0].ways() == [(24, 1)]
