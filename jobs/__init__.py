"""What the work really took: jobs, purchases, hours, invoices, payments."""
