"""How much of an operation, in the units a setter of that system measures in.

The core counts in metres and square metres; a business in feet types and reads feet.
The foot is 0.3048 m exactly (international foot, 1959), so nothing is rounded on the
way in; what is read back is shown to two places.
"""

from __future__ import annotations

from fractions import Fraction

from django.utils.translation import gettext as _

from materials.core.quantities import decimal_text

FOOT = Fraction(3048, 10_000)
IN_METRES = {
    "length": FOOT,
    "cut": FOOT,
    "area": FOOT**2,
}
"""Metres, or square metres, in one unit of a business in feet."""


def basis_unit(basis: str, system: str) -> str:
    """Return the unit an operation is counted in: `m`, `ft`, `m²`, `sq ft`, `each`."""
    imperial = system == "imperial"
    words = {
        "length": _("ft") if imperial else _("m"),
        "cut": _("ft of cut") if imperial else _("m of cut"),
        "area": _("sq ft") if imperial else _("m²"),
        "each": _("each"),
        "fixed": _("job"),
    }
    return words.get(basis, basis)


def from_typed(quantity: Fraction, basis: str, system: str) -> Fraction:
    """Return what was typed in the unit of the core: exactly."""
    return quantity * IN_METRES.get(basis, 1) if system == "imperial" else quantity


def basis_text(quantity: Fraction, basis: str, system: str) -> str:
    """Return a quantity of the core as a person of that system reads it."""
    shown = quantity / IN_METRES.get(basis, 1) if system == "imperial" else quantity
    return f"{decimal_text(shown, places=2)} {basis_unit(basis, system)}"
