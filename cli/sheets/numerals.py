"""How numbers are written on overlays, figures and sheets."""

from __future__ import annotations

import math
from dataclasses import dataclass

__all__ = ["Numerals"]

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
        # Rounding may carry into a new place: 9.996 is 10.0 at three figures, not 10.00. The power of ten is
        # therefore read from the rounded number.
        rounded = float(f"{value:.{self.figures - 1}e}")
        exponent = math.floor(math.log10(abs(rounded)))
        places = max(0, self.figures - 1 - exponent)
        text = f"{abs(round(value, places)):.{places}f}".replace(".", self.decimal)
        return (MINUS if value < 0 else "") + text

    def given(self, value: float) -> str:
        """Write a number that a person gave, as short as it is: one figure more, without trailing zeros.

        Examples
        --------
        >>> Numerals().given(4.5), Numerals().given(120.0), Numerals().given(2 / 3)
        ('4.5', '120', '0.6667')
        """
        text = Numerals(self.figures + 1, self.decimal).number(value)
        return text.rstrip("0").removesuffix(self.decimal) if self.decimal in text else text
