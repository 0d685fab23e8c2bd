"""Masses as people write them: `14.2 g`, `0.5 oz`."""

from __future__ import annotations

import re

from cli.errors import AnswerError

__all__ = ["parse_mass"]

GRAMS = {"g": 1.0, "kg": 1000.0, "oz": 28.349523125, "lb": 453.59237}
"""1 lb is 0.45359237 kg exactly, 1 oz a sixteenth of it (NIST SP 811, appendix B)."""
_MASS = re.compile(r"\s*(?P<number>\d+(?:[.,]\d+)?|[.,]\d+)\s*(?P<unit>g|kg|oz|lb)\s*")


def parse_mass(option: str, text: str) -> float:
    """Return grams.

    Raises
    ------
    AnswerError
        When the text is no mass with its unit.
    """
    found = _MASS.fullmatch(text)
    if not found:
        raise AnswerError(option, text, f'give a mass with its unit ({", ".join(GRAMS)}), as in "14.2 g".')
    return float(found["number"].replace(",", ".")) * GRAMS[found["unit"]]
