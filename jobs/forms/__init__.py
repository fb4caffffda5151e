"""Forms of the top app."""
