"""Sources: what was printed where, and how sure the figure is."""

from __future__ import annotations

import pytest

from materials.core.sources import Source


def test_a_source_names_title_edition_and_place() -> None:
    source = Source(title="A handbook", edition="2019", place="Table 3")

    assert str(source) == "A handbook, 2019, Table 3"


def test_a_figure_from_memory_says_so() -> None:
    assert str(Source(title="A code", confidence="memory")) == "A code (from memory)"


def test_a_figure_of_practice_says_that_nobody_printed_it() -> None:
    source = Source.shop_practice("pan thickness")

    assert source.confidence == "memory"
    assert str(source).startswith("common practice, no source: pan thickness")


def test_a_product_sheet_is_a_source() -> None:
    assert str(Source.product_sheet("bed mortar")) == "product sheet: bed mortar"


@pytest.mark.parametrize("title", ["", "  "])
def test_a_source_without_a_title_is_refused(title: str) -> None:
    with pytest.raises(ValueError, match="needs the title"):
        Source(title=title)


def test_an_undefined_confidence_is_refused() -> None:
    with pytest.raises(ValueError, match="read, quoted, memory"):
        Source(title="A code", confidence="certain")
