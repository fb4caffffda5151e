"""How many examples a property sees: GAUGEROD_CASES, 2,000 unless told."""

from __future__ import annotations

import os
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import HealthCheck, settings

CASES = int(os.environ.get("GAUGEROD_CASES", "2000"))


def many_cases(property_test: Callable[..., Any]) -> Callable[..., Any]:
    """Let a property see many examples, and select it with `-m cases`."""
    counted = settings(
        max_examples=CASES,
        deadline=None,
        suppress_health_check=[HealthCheck.too_slow],
    )(property_test)
    marked: Callable[..., Any] = pytest.mark.cases(counted)
    return marked
