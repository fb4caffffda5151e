"""Reads and writes which rules for joints hold, as a visit file names them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from materials.core.sources import Source
from quotes.core.file_node import Node
from quotes.core.joint_rules import PUBLISHED, SOURCE_OF, JointRules

LENGTHS = ("long_side", "least_joint", "bond_joint", "inside", "outside", "niche_reach")
OWN = ("most_offset", "joint_times", *LENGTHS)


def read_rules(node: Node) -> JointRules:
    """Return the rules of a visit file; the American ones where it names none.

    Raises: Refusal for a figure that is none, or one of the business's own without
    the name of who says so.
    """
    one = node.child("rules")
    one.only("of", "source", *OWN)
    published = PUBLISHED[one.choice("of", tuple(PUBLISHED), "us")]
    found: dict[str, Any] = {
        name: one.length(name, nothing=name == "niche_reach").length
        for name in LENGTHS
        if one.has(name)
    }
    if one.has("most_offset"):
        found["most_offset"] = one.share("most_offset", published.most_offset)
    if one.has("joint_times"):
        found["joint_times"] = one.number("joint_times", published.joint_times)
    if "least_joint" in found:
        found["small_joint"] = found["least_joint"]
    named = one.text("source").strip()
    own = [name for name in found if name in SOURCE_OF]
    if own and not named:
        raise one.refuse(
            "source",
            "Say whose rule it is: your own figures need the name of a source.",
        )
    found |= {SOURCE_OF[name]: Source(title=named) for name in own}
    typed = {name: str(one.value[name]) for name in ("source", *OWN) if one.has(name)}
    return replace(published, typed=typed, **found)


def rules_document(rules: JointRules) -> dict[str, object]:
    """Return the document of the rules, empty for the American ones as printed."""
    typed: Mapping[str, str] = rules.typed
    if rules == PUBLISHED["us"]:
        return {}
    return {"of": rules.of, **typed}
