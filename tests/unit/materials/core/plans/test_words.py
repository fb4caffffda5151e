"""A plan's proof in a sentence: proven, proven for the pieces, or only found."""

from __future__ import annotations

import pytest

from materials.core.plans.words import verdict


@pytest.mark.parametrize(
    ("said", "count", "least", "freely"),
    [
        ("3 lengths; 2 cannot be enough.", 3, 3, None),
        ("1 length is enough.", 1, 1, None),
        ("3 lengths; 2 cannot be enough.", 3, 3, 3),
        (
            "3 lengths; 2 cannot be enough for these pieces; divided otherwise, "
            "1 at most might be saved.",
            3,
            3,
            2,
        ),
        (
            "3 lengths, the best plan found; 2 are not ruled out, so 1 at most might "
            "be saved.",
            3,
            2,
            None,
        ),
        (
            "2 lengths, the best plan found; 1 is not ruled out, so 1 at most might "
            "be saved.",
            2,
            1,
            1,
        ),
    ],
)
def test_the_words_follow_the_proof(
    said: str, count: int, least: int, freely: int | None
) -> None:
    assert verdict(count, least, "length", freely=freely) == said
