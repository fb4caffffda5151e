"""Forms of the middle app."""
