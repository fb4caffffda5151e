"""What stands on every page and is the same each time: made once, and kept.

{% pages_of user %}    the links of the menu, by role
{% keypad %}           the keypad for lengths, laid ready for a script
"""

from __future__ import annotations

from functools import lru_cache

from django import template
from django.template.loader import render_to_string
from django.urls import get_script_prefix
from django.utils.safestring import SafeString
from django.utils.translation import get_language

from materials.core.drawing.lettering import GLYPHS
from materials.models import Person

register = template.Library()


@register.simple_tag
def pages_of(person: Person) -> SafeString:
    """List the pages a person may open; they differ by role, and by nothing else."""
    return _pages(person.role, get_language(), get_script_prefix())


@lru_cache(maxsize=64)
def _pages(role: str, language: str | None, prefix: str) -> SafeString:
    del language, prefix
    return render_to_string("_menu_pages.html", {"role": role})


@register.simple_tag
def keypad() -> SafeString:
    """Lay the keypad for lengths ready; a script brings it up under the thumb."""
    return _keypad(get_language())


@lru_cache(maxsize=8)
def _keypad(language: str | None) -> SafeString:
    del language
    glyphs = sorted(GLYPHS.items(), key=lambda item: item[0][0] * 8 // item[0][1])
    eighths = [(f"{top}/{low}", glyph) for (top, low), glyph in glyphs]
    return render_to_string("_keypad.html", {"eighths": eighths})
