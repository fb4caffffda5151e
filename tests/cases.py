"""How many examples a property sees: GAUGEROD_CASES, 2,000 unless told.

`many_cases` is for what people type, where a rare text matters; `some_cases` sees a
tenth of it and is for arithmetic, where examples cost more and surprise less.
GAUGEROD_ROOMS says how many random rooms the layout's counts are held to their slow
references, 200 unless told; GAUGEROD_SEED begins them elsewhere, 1 unless told.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import HealthCheck, settings

CASES = int(os.environ.get("GAUGEROD_CASES", "2000"))
ROOMS = int(os.environ.get("GAUGEROD_ROOMS", "200"))
SEED = os.environ.get("GAUGEROD_SEED", "1")

Test = Callable[..., Any]


def _counted(examples: int) -> Callable[[Test], Test]:
    def decorate(property_test: Test) -> Test:
        limits = settings(
            max_examples=examples,
            deadline=None,
            suppress_health_check=[HealthCheck.too_slow],
        )
        marked: Test = pytest.mark.cases(limits(property_test))
        return marked

    return decorate


many_cases = _counted(CASES)
some_cases = _counted(max(100, CASES // 10))
