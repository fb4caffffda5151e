"""The parts of the look, one tag each, so that no template writes them by hand.

{% length value %} {% area value %} {% money value %}    figures, lettered
{% state "quote" quote.state %}                          mark with its word
{% figure amount "w-7" %}                                a figure that opens
{% line name value %} {% total name value %}             dot leaders
{% working steps %}                                      how a figure came to be
{% notice 1 %}…{% endnotice %} {% caution %}…{% endcaution %}
{% strip_cell name value %}                              a cell of the title strip
{% tape stages %} {% actions list %}                     the way through, what to do
{% field form.width %}                                   a form field as drawn
{% icon "back" %} {% key "cut" word %} {% drawing svg %}
{{ sentence|lettered }}                                  fractions as drawn
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from datetime import date, datetime
from decimal import Decimal
from functools import lru_cache

from django import template
from django.forms import BoundField, CheckboxInput, CheckboxSelectMultiple, RadioSelect
from django.template.context import Context
from django.utils import timezone
from django.utils.formats import date_format, number_format
from django.utils.html import conditional_escape, format_html
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import get_language
from django.utils.translation import gettext as _
from moneyed import Money

from materials import queries
from materials.core import amounts
from materials.core.areas import Area
from materials.core.drawing import marks
from materials.core.drawing.lettering import (
    HTML,
    PLAIN,
    built,
    length_words,
)
from materials.core.lengths import Length
from materials.core.quantities import fixed_text
from materials.models import Business
from materials.templatetags.states import currency_mark, state_word

register = template.Library()

_KEPT = "_the_business"


def _drawn(markup: str) -> SafeString:
    """Pass on markup that this program made itself, from escaped parts only."""
    return mark_safe(markup)  # noqa: S308


def _business_of(context: Context) -> Business | None:
    """Return the business row, read once for each page."""
    given = context.get("business")
    if isinstance(given, Business):
        return given
    store = context.render_context
    if _KEPT not in store:
        store[_KEPT] = queries.business()
    kept: Business | None = store[_KEPT]
    return kept


def _system(context: Context, system: str) -> str:
    if system:
        return system
    kept = context.get("system")
    if isinstance(kept, str) and kept:
        return kept
    business = _business_of(context)
    return business.system if business is not None else "imperial"


@register.simple_tag(takes_context=True, name="the_business")
def the_business(context: Context) -> Business | None:
    """Return the business, for the strip and the menu."""
    return _business_of(context)


@register.simple_tag(takes_context=True)
def length(
    context: Context, value: Length | None, system: str = "", denominator: int = 16
) -> str:
    """Letter a length in the reader's system; a dash for none."""
    if value is None:
        return "–"
    kind = _system(context, system)
    lettered = length_words(value, system=kind, setting=HTML, denominator=denominator)
    return format_html('<span class="len">{}</span>', _drawn(lettered))


@register.simple_tag(takes_context=True)
def area(
    context: Context, value: Area | None, system: str = "", places: int = 1
) -> str:
    """Letter an area with its unit; a dash for none."""
    if value is None:
        return "–"
    kind = _system(context, system)
    return format_html('<span class="len">{}</span>', value.text(kind, places=places))


@register.simple_tag
def today() -> str:
    """Say which day it is, as the business writes a day."""
    return date_format(timezone.localdate(), _("j M Y"))


@register.filter
def day(value: date | datetime | None) -> str:
    """Write a day as the business writes it; nothing for none."""
    if isinstance(value, datetime):
        value = timezone.localtime(value).date()
    return _day(value, get_language()) if isinstance(value, date) else ""


@lru_cache(maxsize=1024)
def _day(value: date, language: str | None) -> str:
    """Return a day as written in a language; kept, lists repeat days."""
    del language
    return date_format(value, _("j M Y"))


@register.simple_tag
def money(value: Money | None, sign: bool = False, whole: bool = False) -> str:
    """Letter an amount: decimals of its currency, thousands apart, a true minus.

    `sign` True puts the currency before it: once, at the total. `whole` True rounds
    to whole units, for comparisons on a phone.
    """
    return "–" if value is None else money_words(value, sign, whole)


def money_words(value: Money, sign: bool = False, whole: bool = False) -> SafeString:
    """Return an amount as lettered, ready to stand in a page."""
    # Written out: 1.5 and 1.50 are equal, and lettered differently.
    amount = f"{value.amount:f}"
    return _lettered(amount, value.currency.code, sign, whole, get_language())


@lru_cache(maxsize=4096)
def _lettered(
    amount: str, code: str, sign: bool, whole: bool, language: str | None
) -> SafeString:
    """Return an amount as lettered in a language; kept, lists repeat amounts."""
    del language
    value = Money(Decimal(amount), code)
    digits = amounts.minor_digits(value.currency.code)
    exponent = value.amount.as_tuple().exponent
    places = max(digits, -exponent) if isinstance(exponent, int) else digits
    number = abs(value.amount)
    if whole:
        number = Decimal(fixed_text(abs(amounts.exact(value)), places=0))
        places = 0
    text = number_format(number, decimal_pos=places, force_grouping=True)
    minus = "−" if value.amount < 0 else ""
    mark = currency_mark(value.currency.code) if sign else ""
    return format_html('<span class="money">{}{}{}</span>', minus, mark, text)


@register.simple_tag
def state(kind: str, value: str, word: str = "") -> str:
    """Draw a state: its mark and always its word; what needs a person is red lead."""
    return _state(kind, value, word or state_word(kind, value))


@lru_cache(maxsize=256)
def _state(kind: str, value: str, label: str) -> SafeString:
    return format_html(
        '<span class="state{}">{}{}</span>',
        " warn" if value in ("overdue", "unknown", "failed") else "",
        _drawn(marks.state_mark(kind, value)),
        label,
    )


@register.simple_tag
def icon(name: str) -> str:
    """Draw an icon; the word stands beside it or in the label."""
    return _drawn(marks.icon(name))


@register.simple_tag
def own_mark() -> str:
    """Draw the program's own sign."""
    return _drawn(marks.OWN)


@register.simple_tag
def key(kind: str, word: str) -> str:
    """Draw one sample of the key under a drawing, with its word."""
    return format_html("<span>{}{}</span>", _drawn(marks.key_sample(kind)), word)


@register.simple_tag
def drawing(svg: str) -> str:
    """Put a drawing made by the drawing module on the page."""
    return _drawn(svg)


@register.simple_tag
def figure(value: object, controls: str, opened: bool = False) -> str:
    """Letter a figure that opens the working with this id."""
    return format_html(
        '<button type="button" class="fig" aria-expanded="{}" aria-controls="{}">'
        "{}</button>",
        "true" if opened else "false",
        controls,
        _shown(value),
    )


def _shown(value: object, sign: bool = False) -> object:
    return money_words(value, sign) if isinstance(value, Money) else value


def _line_context(
    name: str, value: object, steps: Iterable[object], note: str, mark: str
) -> dict[str, object]:
    return {
        "name": name,
        "value": _shown(value),
        "steps": list(steps),
        "note": note,
        "mark": mark,
    }


@register.inclusion_tag("_line.html")
def line(
    name: str,
    value: object,
    steps: Iterable[object] = (),
    note: str = "",
    mark: str = "",
) -> dict[str, object]:
    """Draw a name and its figure joined by dots; with steps, the figure opens."""
    return _line_context(name, value, steps, note, mark)


@register.inclusion_tag("_line.html")
def total(
    name: str, value: object, steps: Iterable[object] = (), end: bool = False
) -> dict[str, object]:
    """Draw a total under its rule, with the currency's sign; `end` rules it double."""
    shown = _shown(value, sign=True)
    return _line_context(name, shown, steps, "", "tot end" if end else "tot")


@register.inclusion_tag("_working.html")
def working(steps: Iterable[object]) -> dict[str, object]:
    """Draw the steps of a working: label, formula, result, source."""
    return {"steps": list(steps)}


@register.simple_block_tag
def notice(content: str, number: int = 1) -> str:
    """Draw a numbered note."""
    return format_html(
        '<div class="notice">{}<div>{}</div></div>',
        _drawn(marks.numbered(number)),
        lettered(_drawn(_paragraph(content))),
    )


@register.simple_block_tag
def caution(content: str, word: str = "") -> str:
    """Draw a caution: triangle, word and sentence."""
    opening = format_html("<b>{}</b> ", word or _("Caution."))
    return format_html(
        '<div class="caution" role="note">{}<div>{}</div></div>',
        _drawn(marks.CAUTION),
        lettered(_drawn(_paragraph(content, opening))),
    )


def _paragraph(content: str, opening: str = "") -> str:
    """Return block content, already escaped by its template, as a paragraph."""
    body = content.strip()
    whole = body if body.startswith("<p>") else f"<p>{body}</p>"
    return whole.replace("<p>", f"<p>{opening}", 1)


@register.simple_tag
def strip_cell(name: str, value: object, shape: str = "") -> str:
    """Draw a cell of the title strip; shape is "wide", "big", "big wide" or "said"."""
    kind = {"big": "big", "big wide": "big", "said": "say"}.get(shape, "")
    wide = shape in ("wide", "big wide", "said", "big")
    return format_html(
        "<div{}><dt>{}</dt><dd{}>{}</dd></div>",
        _drawn(' class="w"' if wide else ""),
        name,
        _drawn(f' class="{kind}"' if kind else ""),
        _shown(value, sign=True),
    )


@register.inclusion_tag("_tape.html")
def tape(
    stages: Iterable[object], label: str = "", dashed: bool = False
) -> dict[str, object]:
    """Draw the way through, pulled out as far as the present stage.

    Shape: each stage has `word`, `url` (may be empty) and `now`; stages before the
    present one count as done.
    """
    listed = list(stages)
    marked = [at for at, stage in enumerate(listed) if _of(stage, "now")]
    here = marked[0] if marked else len(listed)
    shown = [
        {
            "word": _of(stage, "word"),
            "url": _of(stage, "url"),
            "now": at == here,
            "done": at < here,
        }
        for at, stage in enumerate(listed)
    ]
    return {"stages": shown, "label": label or _("The way through"), "dashed": dashed}


def _of(thing: object, name: str) -> object:
    return thing.get(name) if isinstance(thing, Mapping) else getattr(thing, name, "")


@register.inclusion_tag("_actions.html", takes_context=True)
def actions(context: Context, listed: Iterable[object]) -> dict[str, object]:
    """Draw what can be done, under the thumb on a phone, at the strip's foot else.

    Shape: each has `word` and one of `url` (a link), `post` (an address a form posts
    to) or `form` (the id of a form on the page to send); `main` fills the one key
    that leads on; `name` and `value` name the button; `why_not` dashes it out.
    """
    return {"actions": list(listed), "csrf_token": context.get("csrf_token")}


@register.inclusion_tag("_field.html")
def field(bound: BoundField, hint: str = "", shape: str = "") -> dict[str, object]:
    """Draw a form field: a length on a dimension line, words on a plain one."""
    widget = bound.field.widget
    choice = isinstance(widget, CheckboxInput)
    many = isinstance(widget, (RadioSelect, CheckboxSelectMultiple))
    return {
        "bound": bound,
        "hint": hint or bound.help_text,
        "shape": shape,
        "unit": getattr(bound.field, "unit", ""),
        "is_length": "data-length" in widget.attrs,
        "is_choice": choice,
        "is_choices": many,
        "wrong": _drawn(marks.WRONG),
    }


_SUM = re.compile(r"(?<![0-9.,/])[0-9]{4,}\.[0-9]{2}(?![0-9/])")
_PERCENT = re.compile(r"(?<=[0-9])[ \u00a0]%(?![0-9A-Za-z])")


@register.filter
def lettered(value: object) -> SafeString:
    """Set a sentence of the core as the page is set: 5′ 0½″, 1,234.50, 7.25%.

    Only a number with two decimals, a sum or an area, has its thousands set apart: a
    year and a length in millimetres have none.
    """
    said = built(conditional_escape(str(value)))
    said = _SUM.sub(lambda found: _grouped(found[0]), said)
    return _drawn(_PERCENT.sub(_("%(share)s\u00a0%%") % {"share": ""}, said))


def _grouped(number: str) -> str:
    return str(number_format(Decimal(number), decimal_pos=2, force_grouping=True))


@register.simple_tag
def length_plain(value: Length, system: str) -> str:
    """Letter a length as plain text, for a label that is read aloud."""
    return length_words(value, system=system, setting=PLAIN)
