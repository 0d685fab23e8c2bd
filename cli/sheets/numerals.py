"""How numbers are written on overlays, figures and sheets."""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

__all__ = ["Numerals"]

_SAME = 1e-12
"""Relative: numbers closer than this differ by the dust of arithmetic."""

MINUS = "−"
"""U+2212, the sign that stands level with figures."""


@dataclass(frozen=True)
class Numerals:
    """Significant figures and the signs of a locale; for the eye only, nothing is computed from it."""

    figures: int = 3
    """Significant figures; whole numbers above them keep all their places."""
    decimal: str = "."
    """Decimal sign."""

    def number(self, value: float) -> str:
        """Write a number rounded to the set figures, never in powers of ten, with its trailing zeros.

        Examples
        --------
        >>> Numerals().number(-234.36), Numerals().number(0.05), Numerals(decimal=",").number(12.0)
        ('−234', '0.0500', '12,0')
        """
        if value == 0 or not math.isfinite(value):
            return "0" if value == 0 else str(value)
        # Twelve figures take the dust of arithmetic off, so that equal forces are written alike; a half then
        # goes up, as it does in a classroom. Rounding may carry into a new place: 9.996 is 10.0.
        exact = Decimal(f"{abs(value):.11e}")
        rounded = _half_up(exact, self.figures - 1 - exact.adjusted())
        places = max(0, self.figures - 1 - rounded.adjusted())
        text = f"{_half_up(exact, places):.{places}f}".replace(".", self.decimal)
        return (MINUS if value < 0 else "") + text

    def given(self, value: float) -> str:
        """Write a number that a person gave, as short as it is: two figures more, without trailing zeros.

        What does not end within them, as a third or a root, is written with one figure more.

        Examples
        --------
        >>> Numerals().given(4.5), Numerals().given(120.0), Numerals().given(1234.5), Numerals().given(2 / 3)
        ('4.5', '120', '1234.5', '0.6667')
        """
        whole = math.isclose(float(f"{value:.{self.figures + 1}e}"), value, rel_tol=_SAME)
        text = Numerals(self.figures + (2 if whole else 1), self.decimal).number(value)
        return text.rstrip("0").removesuffix(self.decimal) if self.decimal in text else text


def _half_up(value: Decimal, places: int) -> Decimal:
    """Round to decimal places, a half away from zero."""
    return value.quantize(Decimal(1).scaleb(-places), rounding=ROUND_HALF_UP)
