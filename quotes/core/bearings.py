"""Angles and roots without floating point: the kernel behind corners not square.

Cosine, sine and square root are worked out in whole numbers to far below a tick, so
that a corner is rounded once, and alike on every machine.
"""

from __future__ import annotations

from fractions import Fraction
from math import isqrt

from materials.core.quantities import half_up

PI = Fraction("3.14159265358979323846264338327950288419716939937510")

_FINE = 10**30
_ROOT_BITS = 60


def cosine_and_sine(degrees: Fraction) -> tuple[Fraction, Fraction]:
    """Return cosine and sine of an angle: exact at quarter turns, else to 1e-29.

    Method: Taylor series of the angle less its quarter turns, on fractions.

    >>> cosine_and_sine(Fraction(90)) == (0, 1)
    True
    """
    quarter, rest = divmod(degrees % 360, 90)
    cosine, sine = Fraction(1), Fraction(0)
    if rest:
        cosine, sine = _series(half_up(PI * rest / 180, Fraction(1, _FINE)))
    for _ in range(int(quarter)):
        cosine, sine = -sine, cosine
    return cosine, sine


def _series(angle: Fraction) -> tuple[Fraction, Fraction]:
    cosine = sine = Fraction(0)
    term = Fraction(1)
    for step in range(40):
        if step % 2:
            sine += term if step % 4 == 1 else -term
        else:
            cosine += term if step % 4 == 0 else -term
        term = half_up(term * angle / (step + 1), Fraction(1, _FINE))
    return cosine, sine


def root(value: Fraction) -> Fraction:
    """Return the square root of a value that is not below nothing, to 2^-60.

    Exact for the square of a fraction whose denominator is a power of two to 2^60.

    >>> root(Fraction(9, 4))
    Fraction(3, 2)
    """
    scaled = value.numerator << (2 * _ROOT_BITS)
    return Fraction(isqrt(scaled // value.denominator), 1 << _ROOT_BITS)


def to_tick(value: Fraction) -> int:
    """Return the nearest tick, halves away from nothing: the one rounding."""
    return int(half_up(value))
