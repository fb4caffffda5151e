"""The owner's last word: a figure set in place of a computed one, with its reason.

Both figures stay in the line; what follows is worked out from the owner's. Order of a
line: quantity or hours, then packs, then cost, then price.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from fractions import Fraction

from moneyed import Money

from materials.core import amounts
from materials.core.errors import NotANumber, OutOfRange, Refusal, Unknown
from materials.core.need import PackFacts
from materials.core.packaging import PackCount
from materials.core.quantities import parse_number
from quotes.core.choices import Overrule
from quotes.core.document import OVERRULED, Line, Overruled

LARGEST_QUANTITY = 10_000_000
LARGEST_HOURS = 100_000
LARGEST_PACKS = 1_000_000

_PACKS = re.compile(r"(?P<count>[0-9]{1,7})(?:\s*[x×]?\s*(?P<pack>\S.*?))?\s*")


class Overrules:
    """The overrules of a visit, by line and figure; each is taken once."""

    def __init__(self, overrules: Iterable[Overrule]) -> None:
        """Sort the overrules.

        Raises: Unknown for a figure that cannot be overruled; OutOfRange for two of
        one figure, or one without a reason; each names its place in the visit file.
        """
        self._held: dict[tuple[str, str], tuple[int, Overrule]] = {}
        for place, overrule in enumerate(overrules):
            self._add(place, overrule)

    def _add(self, place: int, overrule: Overrule) -> None:
        key = (overrule.line, overrule.what)
        if overrule.what not in OVERRULED:
            raise Unknown(
                f"“{overrule.what}” cannot be overruled; choose one of "
                f"{', '.join(OVERRULED)}.",
                field=f"overrules[{place}].what",
            )
        if not overrule.reason.strip():
            raise OutOfRange(
                "An overrule needs its reason; say why in a few words.",
                field=f"overrules[{place}].reason",
            )
        if key in self._held:
            raise OutOfRange(
                f"The {overrule.what} of {overrule.line} is overruled twice; "
                "keep one of the two.",
                field=f"overrules[{place}]",
            )
        self._held[key] = (place, overrule)

    def number(self, line: str, what: str, *, most: int) -> Fraction | None:
        """Return the owner's quantity or hours for a line, or None.

        Raises: NotANumber or OutOfRange, naming the overrule.
        """
        held = self._held.get((line, what))
        if held is None:
            return None
        place, overrule = held
        try:
            value = parse_number(overrule.value)
            if not 0 <= value <= most:
                raise OutOfRange(
                    f"{overrule.value[:40]} is no possible {what}; enter 0 to {most:,}."
                )
        except Refusal as refusal:
            raise refusal.at(f"overrules[{place}].value") from refusal
        return value

    def money(self, line: str, what: str, code: str) -> Money | None:
        """Return the owner's cost or price for a line, or None.

        Raises: NotANumber or OutOfRange, naming the overrule.
        """
        held = self._held.get((line, what))
        if held is None:
            return None
        place, overrule = held
        try:
            value = amounts.parse_money(overrule.value, code)
            if value.amount < 0:
                raise OutOfRange(
                    f"A {what} of {overrule.value[:40]} is below nothing; "
                    "enter 0 or more."
                )
        except Refusal as refusal:
            raise refusal.at(f"overrules[{place}].value") from refusal
        return value

    def settled(
        self, line: str, what: str, computed: Money
    ) -> tuple[Money, tuple[Overruled, ...]]:
        """Return the owner's cost or price, else the computed one, and both figures.

        Raises: NotANumber or OutOfRange, naming the overrule.
        """
        owner = self.money(line, what, computed.currency.code)
        return (
            computed if owner is None else owner,
            self.note(line, what, amounts.plain(computed)),
        )

    def packs(
        self, line: str, known: Mapping[str, PackFacts]
    ) -> tuple[PackCount, ...] | None:
        """Return the packs the owner buys for a line, or None.

        Written `7` where the material has one pack, else `7 25 kg bag + 1 5 kg tub`
        with the packs' labels or keys.

        Raises: NotANumber for another form; Unknown for a pack that has no price.
        """
        held = self._held.get((line, "packs"))
        if held is None:
            return None
        place, overrule = held
        try:
            return tuple(
                _pack_count(part.strip(), known) for part in overrule.value.split("+")
            )
        except Refusal as refusal:
            raise refusal.at(f"overrules[{place}].value") from refusal

    def note(self, line: str, what: str, computed: str) -> tuple[Overruled, ...]:
        """Return both figures of an overruled part with the reason, or nothing."""
        held = self._held.get((line, what))
        if held is None:
            return ()
        overrule = held[1]
        return (
            Overruled(
                what=what,
                computed=computed,
                owner=overrule.value,
                reason=overrule.reason,
            ),
        )

    def check_used(self, lines: Iterable[Line]) -> None:
        """Refuse an overrule that no line could take.

        Raises: Unknown for a line the estimate does not have; OutOfRange for a figure
        that line does not have.
        """
        used = {
            (line.key, overruled.what) for line in lines for overruled in line.overruled
        }
        keys = sorted({line.key for line in lines})
        for (line_key, what), (place, _) in self._held.items():
            if line_key not in keys:
                raise Unknown(
                    f"The estimate has no line “{line_key[:60]}”; its lines are "
                    f"{', '.join(keys)}.",
                    field=f"overrules[{place}].line",
                )
            if (line_key, what) not in used:
                raise OutOfRange(
                    f"The line {line_key} has no {what} to overrule.",
                    field=f"overrules[{place}].what",
                )


def _pack_count(text: str, known: Mapping[str, PackFacts]) -> PackCount:
    match = _PACKS.fullmatch(text)
    if match is None or int(match["count"]) > LARGEST_PACKS:
        raise NotANumber(
            f"“{text[:40]}” is no number of packs; write 7, or 7 25 kg bag + 1 tub."
        )
    name = match["pack"]
    if name is None and len(known) == 1:
        pack = next(iter(known.values()))
    else:
        found = [p for key, p in known.items() if name in (key, p.label)]
        if not found:
            labels = ", ".join(pack.label for pack in known.values()) or "none"
            raise Unknown(f"“{text[:40]}” names no pack; the packs are {labels}.")
        pack = found[0]
    count = int(match["count"])
    price = pack.price
    for least, lower in pack.breaks:
        if count >= least:
            price = lower
    return PackCount(pack=pack, count=count, price=price)
