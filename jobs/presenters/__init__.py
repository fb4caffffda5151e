"""Records ready to be shown: what a job took and cost, what an invoice says."""

from __future__ import annotations

from jobs.presenters.costs import CostSheet, cost_sheet
from jobs.presenters.invoices import (
    InvoiceListed,
    InvoiceSheet,
    StageOffered,
    StatementSheet,
    credit_rows,
    draft_sheet,
    invoice_listed,
    issued_sheet,
    stages_offered,
    statement_sheet,
)
from jobs.presenters.offcuts import counted_on, left_rows, move_rows
from jobs.presenters.work import (
    NotedRow,
    WorkSheet,
    day_rows,
    stages_of,
    use_rows,
    work_sheet,
)

__all__ = [
    "CostSheet",
    "InvoiceListed",
    "InvoiceSheet",
    "NotedRow",
    "StageOffered",
    "StatementSheet",
    "WorkSheet",
    "cost_sheet",
    "counted_on",
    "credit_rows",
    "day_rows",
    "draft_sheet",
    "invoice_listed",
    "issued_sheet",
    "left_rows",
    "move_rows",
    "stages_of",
    "stages_offered",
    "statement_sheet",
    "use_rows",
    "work_sheet",
]
