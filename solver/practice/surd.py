"""Numbers of the form coefficient times a square root: what forces in a truss on whole numbers are."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

__all__ = ["Surd", "root_of"]

_LARGEST_FACTOR = 3000
"""Square factors are sought up to this number squared: dimensions on a sheet have two or three figures."""


@dataclass(frozen=True)
class Surd:
    """The number `coefficient` times the square root of `radicand`, exactly."""

    coefficient: Fraction
    radicand: int = 1
    """Positive; 1 for a rational number. Without square factors, unless they are very large."""

    def __float__(self) -> float:
        return float(self.coefficient) if self.radicand == 1 else self._rooted()

    def _rooted(self) -> float:
        """Take the root of the whole square at once, so that one rounding is all there is."""
        squared = self.coefficient**2 * self.radicand
        shift = 120 + 2 * max(0, squared.denominator.bit_length() - squared.numerator.bit_length())
        root = Fraction(math.isqrt((squared.numerator << shift) // squared.denominator), 1 << (shift // 2))
        return math.copysign(float(root), self.coefficient)

    def __abs__(self) -> Surd:
        return Surd(abs(self.coefficient), self.radicand)

    def __mul__(self, factor: Fraction) -> Surd:
        product = self.coefficient * factor
        return Surd(product, self.radicand if product else 1)


def root_of(value: Fraction) -> Surd:
    """Return the square root of a positive fraction.

    Examples
    --------
    >>> root_of(Fraction(20, 9))
    Surd(coefficient=Fraction(2, 3), radicand=5)
    """
    whole = value.numerator * value.denominator
    root = math.isqrt(whole)
    if root * root == whole:
        return Surd(Fraction(root, value.denominator))
    outside, inside = 1, whole
    factor = 2
    while factor * factor <= inside and factor <= _LARGEST_FACTOR:
        while inside % (factor * factor) == 0:
            inside //= factor * factor
            outside *= factor
        factor += 1
    return Surd(Fraction(outside, value.denominator), inside)
