"""Forms of the lowest app."""
