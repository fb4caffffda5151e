"""Money and time by the means of a drawing: tape, hatch, dimension, never a colour.

Values are whole numbers of any one unit (minor units of a currency, minutes); their
words come ready lettered. A chart never stands without its table beside it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise

from materials.core.drawing.dimensions import TOP, Span, draw_chain, on_level
from materials.core.drawing.lettering import width_of, words
from materials.core.drawing.pen import CUT, HATCHES, Point, Ring, Sheet, part
from materials.core.drawing.records import Frame
from materials.core.errors import BadShape


@dataclass(frozen=True, slots=True, kw_only=True)
class Share:
    """One part of a sum: its value, its figure over the bar, its word under it."""

    value: int
    figure: str
    word: str
    kind: str = ""
    """A hatch of the drawing, or nothing for plain paper."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """A value on an axis with its words."""

    value: int
    word: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """A range: the middle of it hatched, the values that matter marked."""

    name: str
    sentence: str
    low: int
    high: int
    """The hatched stretch, as a rule the middle 80 in 100."""
    marks: tuple[Mark, ...]
    axis: tuple[Mark, ...]
    """Whole steps of the axis with their words, in order."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Course:
    """Two courses of a sum over days: dashed as quoted, solid as it went."""

    name: str
    sentence: str
    quoted: tuple[int, ...]
    actual: tuple[int, ...]
    days: tuple[Mark, ...]
    """Words under the axis; a mark's value is the number of its day."""
    axis: tuple[Mark, ...]
    quoted_word: str
    actual_word: str
    forecast: tuple[int, int] | None = None
    """Least and greatest at completion, on the last day of the quoted course."""
    ceiling: Mark | None = None


def draw_shares(
    name: str, sentence: str, shares: tuple[Share, ...], frame: Frame
) -> str:
    """Return one bar divided in proportion, with a chain of dimensions over it.

    Raises: BadShape for no shares, or a share below nothing.
    """
    whole = sum(share.value for share in shares)
    if whole <= 0 or any(share.value < 0 for share in shares):
        raise BadShape("A sum is divided into parts of nothing or more.")
    letter = frame.style.letter
    left, right = 6_00, frame.width * 100 - 6_00
    top, foot = 2 * letter + 16_00, 2 * letter + 36_00
    size = frame.width * 100, foot + 2 * letter + 10_00
    sheet = Sheet(name=name, size=size, sentence=sentence, style=frame.style)
    done = 0
    spans: list[tuple[Span, str, str]] = []
    under: list[tuple[int, str]] = []
    for share in shares:
        start = left + part(right - left, done, whole)
        done += share.value
        end = left + part(right - left, done, whole)
        ring = ((start, top), (end, top), (end, foot), (start, foot))
        if share.kind in HATCHES:
            sheet.hatch(share.kind, [ring])
        sheet.polygon(ring, "e")
        if end - start >= 3_00:
            span = on_level((start, top), (end, top), TOP, top - 12_00)
            spans.append((span, words(share.figure), ""))
            under.append(((start + end) // 2, share.word))
    draw_chain(sheet, spans, TOP)
    _letter_under(sheet, under, (left, right), foot)
    return sheet.svg()


def _letter_under(
    sheet: Sheet, under: list[tuple[int, str]], edges: tuple[int, int], foot: int
) -> None:
    """Letter the words under a bar, in a second row where they would touch."""
    letter = sheet.style.letter
    reached = edges[0]
    for middle, word in under:
        half = width_of(word, letter) // 2
        at = min(max(middle, edges[0] + half), edges[1] - half)
        low = at - half < reached
        sheet.text((at, foot + letter * (2 if low else 1) + 2_00), words(word), "t2")
        if not low:
            reached = at + half + 4_00


def draw_spread(spread: Spread, frame: Frame) -> str:
    """Return a range on a tape: the likely stretch hatched, single values marked.

    Raises: BadShape for an axis of fewer than two steps.
    """
    if len(spread.axis) < 2:
        raise BadShape("An axis needs two steps or more.")
    letter = frame.style.letter
    low, high = spread.axis[0].value, spread.axis[-1].value
    left, right = 8_00, frame.width * 100 - 8_00
    rows = _mark_rows(spread.marks, letter, (low, high, left, right))
    top = (max(rows, default=0) + 1) * (letter + 3_00)
    foot = top + 34_00
    size = frame.width * 100, foot + letter + 14_00
    sheet = Sheet(
        name=spread.name, size=size, sentence=spread.sentence, style=frame.style
    )

    def across(value: int) -> int:
        held = min(max(value, low), high)
        return left + part(right - left, held - low, high - low)

    first, last = across(spread.low), across(spread.high)
    ring = ((first, foot - 16_00), (last, foot - 16_00), (last, foot), (first, foot))
    sheet.hatch(CUT, [ring])
    sheet.polygon(ring, "e")
    sheet.path(_tape_marks(spread.axis, across, foot), "f")
    sheet.line((left, foot), (right, foot), "e")
    for step in spread.axis:
        sheet.text((across(step.value), foot + letter + 6_00), words(step.word), "t2")
    for mark, row in zip(spread.marks, rows, strict=True):
        x = across(mark.value)
        up = top - row * (letter + 3_00)
        sheet.line((x, foot), (x, up), "o")
        half = width_of(mark.word, letter) // 2
        at = min(max(x, left + half), right - half)
        sheet.text((at, up - 4_00), words(mark.word))
    return sheet.svg()


def _mark_rows(
    marks: tuple[Mark, ...], letter: int, axis: tuple[int, int, int, int]
) -> list[int]:
    """Return how high each mark's words stand, so that none touch."""
    low, high, left, right = axis
    ends: list[int] = []
    rows = []
    for mark in marks:
        x = left + part(right - left, mark.value - low, high - low)
        half = width_of(mark.word, letter) // 2
        at = min(max(x, left + half), right - half)
        row = next((n for n, end in enumerate(ends) if end < at - half), len(ends))
        if row == len(ends):
            ends.append(0)
        ends[row] = at + half + 6_00
        rows.append(row)
    return rows


def _tape_marks(
    axis: tuple[Mark, ...], across: Callable[[int], int], foot: int
) -> list[Ring]:
    runs: list[Ring] = []
    for first, second in pairwise(axis):
        for tenth in range(10):
            value = first.value + part(second.value - first.value, tenth, 10)
            high = 11_00 if tenth == 0 else 8_00 if tenth == 5 else 4_00
            x = across(value)
            runs.append(((x, foot), (x, foot - high)))
    end = across(axis[-1].value)
    runs.append(((end, foot), (end, foot - 11_00)))
    return runs


def draw_course(course: Course, frame: Frame) -> str:
    """Return a sum over days: dashed as quoted, solid as it went, hatched ahead.

    Raises: BadShape for a course of fewer than two days or an axis of one step.
    """
    if len(course.quoted) < 2 or len(course.axis) < 2:
        raise BadShape("A course needs two days and an axis of two steps or more.")
    letter = frame.style.letter
    widest = max(width_of(step.word, letter) for step in course.axis)
    left, right = widest + 18_00, frame.width * 100 - 18_00
    top, foot = letter + 8_00, frame.height * 100 - letter - 14_00
    size = frame.width * 100, frame.height * 100
    sheet = Sheet(
        name=course.name, size=size, sentence=course.sentence, style=frame.style
    )
    days = max(len(course.quoted), len(course.actual)) - 1
    most = course.axis[-1].value

    def at(day: int, value: int) -> Point:
        return left + part(right - left, day, days), foot - part(
            foot - top, value, most
        )

    _draw_axes(sheet, course, (left, right, top, foot), at)
    _draw_runs(sheet, course, at, days)
    return sheet.svg()


def _draw_runs(
    sheet: Sheet, course: Course, at: Callable[[int, int], Point], days: int
) -> None:
    if course.forecast is not None and course.actual:
        here = at(len(course.actual) - 1, course.actual[-1])
        ring = (here, *(at(days, value) for value in course.forecast))
        sheet.hatch(CUT, [ring])
        sheet.polygon(ring, "e")
    quoted = tuple(at(day, value) for day, value in enumerate(course.quoted))
    sheet.path([quoted], "hid")
    actual = tuple(at(day, value) for day, value in enumerate(course.actual))
    if actual:
        sheet.path([actual], "o")
        for point in actual:
            sheet.circle(point, 2_60, "ef")
        x, y = actual[len(actual) * 3 // 5]
        lettered = words(course.actual_word)
        sheet.text((x - 8_00, y - 8_00), lettered, "halo", anchor="end")
    x, y = quoted[len(quoted) * 2 // 3]
    lettered = words(course.quoted_word)
    below = y + sheet.style.letter + 6_00
    sheet.text((x + 8_00, below), lettered, "halo", anchor="start")


def _draw_axes(
    sheet: Sheet,
    course: Course,
    box: tuple[int, int, int, int],
    at: Callable[[int, int], Point],
) -> None:
    left, right, top, foot = box
    sheet.path([((left, top), (left, foot), (right, foot))], "e")
    runs: list[Ring] = []
    for first, second in pairwise(course.axis):
        for quarter in range(4):
            value = first.value + part(second.value - first.value, quarter, 4)
            y = at(0, value)[1]
            long = 9_00 if quarter == 0 else 5_00 if quarter == 2 else 3_00
            runs.append(((left, y), (left - long, y)))
    end = at(0, course.axis[-1].value)[1]
    runs.append(((left, end), (left - 9_00, end)))
    for day in course.days:
        x = at(day.value, 0)[0]
        runs.append(((x, foot), (x, foot + 5_00)))
        sheet.text((x, foot + sheet.style.letter + 6_00), words(day.word), "t2")
    sheet.path(runs, "f")
    for step in course.axis:
        y = at(0, step.value)[1]
        sheet.text((left - 12_00, y + 4_00), words(step.word), "t2", anchor="end")
    if course.ceiling is not None:
        y = at(0, course.ceiling.value)[1]
        sheet.line((left, y), (right, y), "f")
        sheet.text((left + 8_00, y - 4_00), words(course.ceiling.word), "t2 halo",
                   anchor="start")  # fmt: skip
