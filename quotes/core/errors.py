"""What the middle app refuses beside the refusals of its materials.

Refusal
└── QuoteRefusal
    ├── WrongFile            a visit file that does not say what it must
    ├── WrongSurface         an opening outside its wall, a shape that cannot be
    └── NoBuildUp            a surface names a build-up that is not there
"""

from __future__ import annotations

from materials.core.errors import Refusal


class QuoteRefusal(Refusal):
    """Something of a visit, a takeoff or an offer cannot be done."""

    code = "quote_refused"


class WrongFile(QuoteRefusal):
    """A visit file does not say what it must, or says what nobody knows."""

    code = "wrong_file"


class WrongSurface(QuoteRefusal):
    """A surface, an opening or a region that cannot be as it was measured."""

    code = "wrong_surface"


class NoBuildUp(QuoteRefusal):
    """A surface or a region names a build-up that the visit does not have."""

    code = "no_build_up"
