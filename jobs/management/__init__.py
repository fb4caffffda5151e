"""Commands of the jobs app."""

from __future__ import annotations
