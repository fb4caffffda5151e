"""Writes of the middle app, by topic: visits, choices, offers, copies."""

from __future__ import annotations

from quotes.services.choices import (
    HandLineEntry,
    OverruleEntry,
    add_allowance,
    add_hand_line,
    add_labour,
    overrule,
    remove_choice,
    remove_labour,
    save_build_up,
    save_terms,
    take_build_up,
)
from quotes.services.copies import copy_visit
from quotes.services.looks import note_look
from quotes.services.mailing import mail_quote
from quotes.services.offers import (
    accept_revision,
    decline_revision,
    make_link,
    make_quote,
    offer_revision,
    reprice_draft,
    revise_quote,
    revoke_link,
    withdraw_revision,
)
from quotes.services.searching import look_deeper
from quotes.services.visits import (
    SpaceEntry,
    VisitEntry,
    add_photo,
    keep_set_outs,
    make_visit,
    remove_space,
    remove_surface,
    save_space,
    save_surface,
    save_visit,
)

__all__ = [
    "HandLineEntry",
    "OverruleEntry",
    "SpaceEntry",
    "VisitEntry",
    "accept_revision",
    "add_allowance",
    "add_hand_line",
    "add_labour",
    "add_photo",
    "copy_visit",
    "decline_revision",
    "keep_set_outs",
    "look_deeper",
    "mail_quote",
    "make_link",
    "make_quote",
    "make_visit",
    "note_look",
    "offer_revision",
    "overrule",
    "remove_choice",
    "remove_labour",
    "remove_space",
    "remove_surface",
    "reprice_draft",
    "revise_quote",
    "revoke_link",
    "save_build_up",
    "save_space",
    "save_surface",
    "save_terms",
    "save_visit",
    "take_build_up",
    "withdraw_revision",
]
