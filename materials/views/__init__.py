"""Pages of the lowest app: sign-in, people, price list, kept files."""
