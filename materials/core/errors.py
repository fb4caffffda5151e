"""Everything the cores refuse, drawn as a tree.

    Refusal                      the trade reason, a sentence for a person
    ├── NotALength               what was typed is no length
    ├── NotANumber               what was typed is no number
    ├── OutOfRange               understood, but absurd or not allowed here
    ├── MixedCurrencies          two currencies in one document
    ├── NothingInTheBox          a pack that holds nothing covers nothing
    ├── Unknown                  a name that nothing is registered under
    └── BadShape                 an outline that is no outline

Each carries a `code` for machines, a `field` (dotted path, may be empty) and a
sentence that names the number that offended and what to do.
"""

from __future__ import annotations


class Refusal(ValueError):
    """Something asked for cannot be done; the text is a sentence for a person."""

    code = "refused"

    def __init__(self, sentence: str, *, field: str = "") -> None:
        super().__init__(sentence)
        self.sentence = sentence
        self.field = field

    def at(self, field: str) -> Refusal:
        """Return the same refusal, naming the field it belongs to."""
        path = f"{field}.{self.field}" if self.field else field
        return type(self)(self.sentence, field=path)


class NotALength(Refusal):
    """What was typed is no length."""

    code = "not_a_length"


class NotANumber(Refusal):
    """What was typed is no number."""

    code = "not_a_number"


class OutOfRange(Refusal):
    """Understood, but too small, too large or not allowed here."""

    code = "out_of_range"


class MixedCurrencies(Refusal):
    """Two currencies met in one sum."""

    code = "mixed_currencies"


class NothingInTheBox(Refusal):
    """A pack that holds nothing covers nothing."""

    code = "nothing_in_the_box"


class Unknown(Refusal):
    """No member of the family has this name."""

    code = "unknown"


class BadShape(Refusal):
    """An outline that crosses itself, has no area or does not close."""

    code = "bad_shape"
