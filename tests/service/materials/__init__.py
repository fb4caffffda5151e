"""Services and pages of the lowest app."""
