"""Rows of the top app: jobs and budgets, what the work took, invoices and payments.

Split by topic: `booking` (jobs, budget lines, variations), `actuals` (purchases,
returns, use, offcuts, day sheets), `money` (series of numbers, invoices, payments).
"""

from __future__ import annotations

from jobs.models.actuals import (
    DaySheet,
    GoodsReturn,
    HoursLine,
    OffcutMove,
    Purchase,
    PurchaseLine,
    Usage,
)
from jobs.models.booking import BudgetLine, Job, Variation
from jobs.models.money import Invoice, InvoiceLine, Payment, Series

__all__ = [
    "BudgetLine",
    "DaySheet",
    "GoodsReturn",
    "HoursLine",
    "Invoice",
    "InvoiceLine",
    "Job",
    "OffcutMove",
    "Payment",
    "Purchase",
    "PurchaseLine",
    "Series",
    "Usage",
    "Variation",
]
