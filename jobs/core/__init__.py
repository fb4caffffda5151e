"""Pure jobs core: what the work took, what it taught, and what is asked for it.

ledger              purchases, returns, use, hours as entries; folded per line
variance            quoted, committed, actual, forecast; differences that add up
trimmed             money cut off a pan, sheet or length bought whole
invoicing           EN 16931 arithmetic: lines, tax rows, totals; tolerance zero
bills               deposit, stage, variation, final and credit, from the contract
document            an issued invoice as JSON that never changes, and its digest
numbering           the look of document numbers, there and back
"""
