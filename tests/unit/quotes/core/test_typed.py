"""A length keeps the words it was typed in."""

from __future__ import annotations

from materials.core.lengths import Length
from quotes.core.typed import Typed


def test_the_same_length_typed_otherwise_is_another_reading() -> None:
    one = Typed(text="1 m", length=Length.mm(1000))
    two = Typed(text="1000", length=Length.mm(1000))

    assert one.length == two.length
    assert one != two
