"""Pages of the top app: today, jobs, what they took and cost, invoices."""
