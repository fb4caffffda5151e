"""Reads of the top app, by topic: jobs, what they cost, invoices."""

from __future__ import annotations

from jobs.queries.bookkeeping import (
    payments_between,
    purchases_between,
    returns_between,
    sales_between,
)
from jobs.queries.costs import cost_of, hours_on, pans_of, wages_of
from jobs.queries.invoice_lists import (
    facts_of,
    invoice_page,
    open_invoices,
    statement_on,
)
from jobs.queries.invoices import (
    asked_of,
    contract_of,
    credited_of,
    earlier_of,
    invoice_for,
    invoices_of,
    issued_document,
    standing_final,
    still_open,
    variation_lines,
)
from jobs.queries.jobs import (
    budget_of,
    job_for,
    job_page,
    jobs_ahead,
    jobs_seen_by,
    local_date,
    purchases_of,
    usages_of,
)

__all__ = [
    "asked_of",
    "budget_of",
    "contract_of",
    "cost_of",
    "credited_of",
    "earlier_of",
    "facts_of",
    "hours_on",
    "invoice_for",
    "invoice_page",
    "invoices_of",
    "issued_document",
    "job_for",
    "job_page",
    "jobs_ahead",
    "jobs_seen_by",
    "local_date",
    "open_invoices",
    "pans_of",
    "payments_between",
    "purchases_between",
    "purchases_of",
    "returns_between",
    "sales_between",
    "standing_final",
    "statement_on",
    "still_open",
    "usages_of",
    "variation_lines",
    "wages_of",
]
