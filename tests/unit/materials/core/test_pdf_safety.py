"""What a PDF from outside may hold, and what not."""

from __future__ import annotations

import pytest
from pikepdf import Name

from materials.core.pdf_safety import NoPdf, unsafe_parts
from tests.hostile_pdfs import HOSTILE, INVOICE, PLAIN, link_of, made

UNREADABLE = {
    "locked", "nested deep", "truncated", "only a head", "no page", "noise",
    "pages that hold themselves",
}  # fmt: skip


@pytest.mark.parametrize("data", [PLAIN, PLAIN + b"\r\n\0\0", INVOICE])
def test_pages_and_an_invoice_s_own_data_are_plain(data: bytes) -> None:
    assert unsafe_parts(data) == set()


@pytest.mark.parametrize("kind", sorted(set(HOSTILE) - UNREADABLE))
def test_whatever_else_it_holds_is_named(kind: str) -> None:
    assert unsafe_parts(HOSTILE[kind])


@pytest.mark.parametrize("kind", sorted(UNREADABLE))
def test_what_cannot_be_read_says_so(kind: str) -> None:
    with pytest.raises(NoPdf):
        unsafe_parts(HOSTILE[kind])


def test_a_link_to_a_shop_is_plain() -> None:
    link = link_of(S=Name.URI, URI="https://shop.example/")

    assert unsafe_parts(made(link)) == set()
