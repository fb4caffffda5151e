"""Tables of cases that the Python and the JavaScript tests both read."""
