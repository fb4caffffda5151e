"""The solver's own answers, checked by hand."""

from __future__ import annotations

from materials.core.cutting.linear import Master, whole_cover


def test_duals_come_back_rounded_down() -> None:
    master = Master([3], [])
    master.add((2, {0: 2}))

    assert master.prices(1_000) == [1_000]
    assert master.weights() == [1_500_000]


def test_whole_numbers_cover_what_is_needed() -> None:
    columns = [(2, {0: 2}), (3, {0: 1, 1: 1})]

    times = whole_cover(columns, [3, 1], [], nodes=100, milliseconds=10_000)

    assert times is not None
    assert 2 * times[0] + times[1] >= 3
    assert times[1] >= 1
    assert 2 * times[0] + 3 * times[1] == 5
