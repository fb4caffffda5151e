"""The key of a request, made with the form that sends it."""

from __future__ import annotations

import uuid

from django import template
from django.template.context import Context
from django.utils.html import format_html

register = template.Library()


@register.simple_tag(takes_context=True)
def request_key(context: Context, ending: str = "") -> str:
    """Write the hidden field with the request's key.

    A form shown again after a refusal keeps the key it came with: what is mended and
    sent again is still the same request. `ending` tells several forms of a page apart.
    """
    request = context.get("request")
    kept = request.POST.get("request_key", "") if request is not None else ""
    usable = kept.endswith(ending) if ending else kept
    key = kept if kept and usable else f"{uuid.uuid4()}{ending}"
    return format_html('<input type="hidden" name="request_key" value="{}">', key)
