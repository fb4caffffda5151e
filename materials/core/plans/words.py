"""How good a plan is, in the words of whoever buys: a count and what cannot be less."""

from __future__ import annotations

from materials.core.working import count_text


def verdict(count: int, least: int, word: str, *, freely: int | None = None) -> str:
    """Return a plan's count with its proof in a sentence.

    `least` is proven for the pieces as they are; `freely` for any other way to divide
    the surfaces too (None: there is no other way).

    >>> verdict(9, 9, "sheet")
    '9 sheets; 8 cannot be enough.'
    >>> verdict(1, 1, "length")
    '1 length is enough.'
    >>> verdict(9, 8, "sheet")
    '9 sheets, the best plan found; 8 are not ruled out, so 1 at most might be saved.'
    >>> verdict(9, 9, "sheet", freely=7)[:45]
    '9 sheets; 8 cannot be enough for these pieces'
    """
    said = count_text(count, word)
    bound = least if freely is None else freely
    if bound >= count:
        if count <= 1:
            return f"{said} is enough."
        return f"{said}; {count - 1} cannot be enough."
    saved = f"{count - bound} at most might be saved"
    if least >= count:
        return (
            f"{said}; {count - 1} cannot be enough for these pieces; divided "
            f"otherwise, {saved}."
        )
    verb = "is" if bound == 1 else "are"
    return f"{said}, the best plan found; {bound} {verb} not ruled out, so {saved}."
