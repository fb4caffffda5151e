"""Words of cost classes, units and figures, for pages and paper."""

from __future__ import annotations

from fractions import Fraction

from django.utils.translation import gettext as _

from jobs.models import Job
from materials.core.packaging import in_own_unit, own_unit
from materials.core.quantities import decimal_text
from materials.presenters import percent_words


def class_word(cost_class: str) -> str:
    """Return the words of a class of cost."""
    words = {
        "materials": _("Materials"),
        "labour": _("Labour"),
        "hire": _("Hire"),
        "disposal": _("Disposal"),
        "subcontract": _("Work by others"),
        "travel": _("Travel"),
        "overhead": _("Overhead"),
        "contingency": _("Contingency"),
        "adjustment": _("Adjustment"),
    }
    return words.get(cost_class, cost_class)


def unit_word(unit: str) -> str:
    """Return a unit as lettered."""
    return {"m2": "m²", "m3": "m³", "each": _("pcs")}.get(unit, unit)


def number_word(value: Fraction, unit: str = "", system: str = "metric") -> str:
    """Return a number with at most two decimals, and its unit.

    A business in feet reads pounds, gallons and feet, as its packs are sold.
    """
    shown = in_own_unit(value, unit, system)
    text = decimal_text(shown, places=2).replace("-", "−")
    return f"{text}\u00a0{unit_word(own_unit(unit, system))}" if unit else text


def change_word(quoted: Fraction, actual: Fraction, unit: str, system: str) -> str:
    """Return `7 → 8 m²`: what was quoted and what was taken."""
    was = number_word(in_own_unit(quoted, unit, system))
    return f"{was} → {number_word(actual, unit, system)}"


def percent_word(rate: Fraction | None) -> str:
    """Return a share as a percentage with at most one decimal; a dash for none."""
    if rate is None:
        return "–"
    return percent_words(rate, places=1)


def system_of(job: Job) -> str:
    """Return the system a job was quoted in, from its frozen budget: no query."""
    return str(job.budget.get("system", "metric"))
