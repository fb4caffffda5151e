"""Records: a budget stops when its time is up."""

from __future__ import annotations

from materials.core.cutting.records import QUICK, Budget


def test_a_budget_stops_when_no_time_is_left() -> None:
    assert not QUICK.stop()
    assert Budget(milliseconds_left=lambda: 0).stop()
