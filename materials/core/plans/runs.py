"""What is banded: changes of plane, seams between boards and folds, run by run."""

from __future__ import annotations

from collections.abc import Mapping

from materials.core.kind import Lot
from materials.core.lengths import NOTHING, Length
from materials.core.need import Extent
from materials.core.working import length_in, places_of, total_area

Runs = list[tuple[str, int]]
"""Place and length in ticks of each run."""


def corner_runs(lot: Lot) -> Runs:
    """Return the changes of plane of a lot, each as often as it stands."""
    return [run for extent in lot.extents for run in _corners(extent)]


def _corners(extent: Extent) -> Runs:
    whole = extent.inside_corners + extent.outside_corners
    lengths = extent.corner_runs or ((whole,) if whole else ())
    return [(extent.place, length.ticks) for length in lengths] * extent.times


def seam_runs_of(lot: Lot) -> Runs:
    """Return the seams of the boards behind a lot, where its layer bands them all."""
    return _told(lot, "seams") if lot.settings.get("along") == "all" else []


def fold_runs(lot: Lot) -> Runs:
    """Return the folds of the boards behind a lot: they are always banded."""
    return _told(lot, "folds")


def _told(lot: Lot, what: str) -> Runs:
    told = lot.settings.get(what)
    if not isinstance(told, Mapping):
        return []
    return [
        (place, length)
        for place in places_of(lot.extents)
        for length in told.get(place, ())
    ]


def guessed_seams(lot: Lot) -> Length:
    """Return a bound on the seams at places that no plan of boards speaks of.

    Net area ÷ the board's width: each panel's long side once. Rounds: to a tick, down.
    """
    sheet = length_in(lot.settings, "sheet_width")
    if lot.settings.get("along") != "all" or not sheet:
        return NOTHING
    told = lot.settings.get("seams")
    known = told if isinstance(told, Mapping) else {}
    extents = [extent for extent in lot.extents if extent.place not in known]
    return Length(total_area(extents).ticks2 // sheet.ticks)


def run_total(runs: Runs) -> Length:
    """Return the length of all runs together."""
    return Length(sum(length for _place, length in runs))
