"""What goes into tables that people open in a spreadsheet."""

from __future__ import annotations

__all__ = ["harmless"]

_FORMULA = ("=", "+", "-", "@", "\t", "\r")
"""A cell that begins so is worked out as a formula, whoever wrote it."""


def harmless(text: str) -> str:
    """Return words that people chose so that no spreadsheet takes them for a formula.

    Examples
    --------
    >>> harmless("=1+1")
    "'=1+1"
    >>> harmless("heron")
    'heron'
    """
    return f"'{text}" if text.startswith(_FORMULA) else text
