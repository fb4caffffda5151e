"""Words that are British only: a page of an American business must show none of them.

“Merchant” is not among them, since a merchant may be called so; the catalogue says
supplier all the same.
"""

from __future__ import annotations

import re

BRITISH = re.compile(
    r"\b(?:kerbs?|snag\w*|splashbacks?|skirtings?|variations?|day sheets?|retentions?"
    r"|stage payments?"
    r"|levell\w+|colour\w*|grey|licences?|storeys?|\w*metres?"
    r"|litres?|labour\w*|cheques?|neighbour\w*|fibre\w*|vapour\w*|alumini\w+|calibre"
    r"|centres?|set-outs?|timber|hires?|final accounts?|on-costs)\b",
    re.IGNORECASE,
)


def british_words(text: str) -> list[str]:
    """Return the British words of a text, each once, in order of the alphabet."""
    return sorted({word.lower() for word in BRITISH.findall(text)})
