"""Benchmarks: run as `python -m bench.<name>`; no part of the service."""
