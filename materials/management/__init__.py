"""Commands of the lowest app."""
