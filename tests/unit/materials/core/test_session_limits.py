"""How long a sign-in lasts."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from materials.core.session_limits import AT_A_DESK, Limits, kept

NOON = datetime(2026, 3, 2, 12, 0, tzinfo=UTC)
PHONE = kept(unused_days=14)


@pytest.mark.parametrize(
    ("limits", "began_hours", "seen_hours", "over"),
    [
        (AT_A_DESK, 0, 0, False),
        (AT_A_DESK, 12, 11.9, False),
        (AT_A_DESK, 12, 12, True),
        (AT_A_DESK, 7 * 24 - 0.1, 1, False),
        (AT_A_DESK, 7 * 24, 0, True),
        (PHONE, 14 * 24, 13.9 * 24, False),
        (PHONE, 14 * 24, 14 * 24, True),
        (PHONE, 89.9 * 24, 1, False),
        (PHONE, 90 * 24, 0, True),
        (AT_A_DESK, -1, -1, True),
        (AT_A_DESK, -0.05, -0.05, False),
    ],
)
def test_a_sign_in_ends_unused_and_in_all(
    limits: Limits, began_hours: float, seen_hours: float, over: bool
) -> None:
    began = NOON - timedelta(hours=began_hours)
    seen = NOON - timedelta(hours=seen_hours)

    assert limits.are_over(began=began, seen=seen, at=NOON) is over
