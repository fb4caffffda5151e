"""The security log: one function, one logger, `gaugerod.security`.

It stands in the lowest app, since sign-in does and apps know nothing of the project;
everybody above takes it from here.
"""

from __future__ import annotations

from materials.services.security import note

__all__ = ["note"]
