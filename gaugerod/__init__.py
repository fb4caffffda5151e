"""Wiring: settings, addresses, queue. No behaviour of the business lives here."""
