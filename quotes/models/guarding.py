"""What never changes in this app's tables: offers, and the evidence of a yes."""

from __future__ import annotations

from materials.core.guards import Guard

OFFERED = "OLD.digest <> ''"

GUARDS = (
    Guard(table="quotes_quote"),
    Guard(
        table="quotes_revision",
        name="offered",
        when=OFFERED,
        free=("state", "ended_at", "end_words"),
        once=("pdf_id",),
        never=("NEW.state = 'drafting'",),
    ),
    *(
        Guard(
            table="quotes_revision",
            name=state,
            when=f"OLD.state = '{state}'",
            once=("pdf_id",),
        )
        for state in ("accepted", "declined", "withdrawn")
    ),
    Guard(table="quotes_acceptance"),
    Guard(
        table="quotes_offerlink",
        once=("revoked_at",),
    ),
)
"""An offer's state goes on; an ended one stays; a link is only ended."""
