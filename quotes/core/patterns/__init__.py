"""The laying patterns, one module each; PATTERNS is the only list of them.

A pattern laid diagonally is the same pattern at an angle: every pattern takes one.
"""

from __future__ import annotations

from materials.core.errors import Unknown
from quotes.core.pattern import Pattern
from quotes.core.patterns import (
    basketweave,
    chevron,
    herringbone,
    hexagon,
    hopscotch,
    modular,
    octagon_dot,
    running_bond,
    stack,
    windmill,
)

PATTERNS: tuple[Pattern, ...] = (
    basketweave.PATTERN,
    chevron.PATTERN,
    herringbone.PATTERN,
    hexagon.PATTERN,
    hopscotch.PATTERN,
    modular.PATTERN,
    octagon_dot.PATTERN,
    running_bond.PATTERN,
    stack.PATTERN,
    windmill.PATTERN,
)

_BY_KEY = {pattern.key: pattern for pattern in PATTERNS}


def pattern_named(key: str) -> Pattern:
    """Return the pattern registered under a key.

    Raises: Unknown, listing the keys there are.
    """
    if key not in _BY_KEY:
        raise Unknown(
            f"pattern.name “{key[:40]}” is no pattern; choose one of "
            f"{', '.join(sorted(_BY_KEY))}.",
            field="pattern.name",
        )
    return _BY_KEY[key]
