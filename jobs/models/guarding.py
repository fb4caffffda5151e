"""What never changes in this app's tables: issued documents and entries of a ledger."""

from __future__ import annotations

from materials.core.guards import Guard

GUARDS = (
    Guard(
        table="jobs_job",
        free=("state", "started_on", "completed_on", "closed_on"),
    ),
    Guard(table="jobs_budgetline", free=("finished",)),
    Guard(
        table="jobs_variation",
        name="written",
        free=("state", "agreed_by", "agreed_on"),
    ),
    Guard(table="jobs_variation", name="agreed", when="OLD.state = 'agreed'"),
    Guard(table="jobs_purchase", once=("received_on",)),
    Guard(table="jobs_purchaseline"),
    Guard(table="jobs_goodsreturn"),
    Guard(table="jobs_usage"),
    Guard(table="jobs_offcutmove"),
    Guard(table="jobs_daysheet"),
    Guard(table="jobs_hoursline"),
    Guard(table="jobs_payment"),
    Guard(table="jobs_series", grows=("last", "last_on")),
    Guard(
        table="jobs_invoice",
        name="issued",
        when="OLD.state <> 'draft'",
        free=("state", "paid", "credited", "open_due_on"),
        once=("pdf_id",),
        never=("NEW.state = 'draft'",),
    ),
)
"""A job moves on, an order arrives, a number counts up, an invoice is settled."""
