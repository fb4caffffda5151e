"""The words of states and the marks of currencies, for the tags of the look."""

from __future__ import annotations

from django.utils.translation import gettext_lazy

_SIGNS = {"USD": "$", "GBP": "£", "EUR": "€", "CAD": "$", "AUD": "$", "NZD": "$"}


def currency_mark(code: str) -> str:
    """Return what stands before an amount: a sign, else the code and a space."""
    return _SIGNS.get(code, f"{code}\u00a0")


def state_word(kind: str, value: str) -> str:
    """Return the word of a state in the reader's language."""
    return str(STATES[(kind, value)])


STATES = {
    ("quote", "drafting"): gettext_lazy("drafting"),
    ("quote", "offered"): gettext_lazy("offered"),
    ("quote", "accepted"): gettext_lazy("accepted"),
    ("quote", "declined"): gettext_lazy("declined"),
    ("quote", "lapsed"): gettext_lazy("lapsed"),
    ("quote", "withdrawn"): gettext_lazy("withdrawn"),
    ("quote", "replaced"): gettext_lazy("replaced"),
    ("job", "booked"): gettext_lazy("booked"),
    ("job", "on_site"): gettext_lazy("on site"),
    ("job", "snagging"): gettext_lazy("snagging"),
    ("job", "complete"): gettext_lazy("complete"),
    ("job", "closed"): gettext_lazy("closed"),
    ("invoice", "draft"): gettext_lazy("draft"),
    ("invoice", "issued"): gettext_lazy("issued"),
    ("invoice", "part_settled"): gettext_lazy("part settled"),
    ("invoice", "settled"): gettext_lazy("settled"),
    ("invoice", "overdue"): gettext_lazy("overdue"),
    ("post", "waiting"): gettext_lazy("waiting"),
    ("post", "working"): gettext_lazy("on its way"),
    ("post", "done"): gettext_lazy("done"),
    ("post", "unknown"): gettext_lazy("nobody knows"),
    ("post", "failed"): gettext_lazy("not sent"),
    ("post", "given_up"): gettext_lazy("given up"),
    ("entry", "kept"): gettext_lazy("kept here"),
    ("entry", "received"): gettext_lazy("received"),
    ("entry", "two_readings"): gettext_lazy("two readings"),
}
"""The word of each state, looked up when it is shown: a list shows one a row."""
