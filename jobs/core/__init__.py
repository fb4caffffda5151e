"""Pure jobs core: ledger, variance, invoicing, numbering."""
