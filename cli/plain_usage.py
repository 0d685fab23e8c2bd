"""Slips on the command line in plain words: what checks options speaks like a programmer."""

from __future__ import annotations

import re
from typing import Any

import typer
from typer.core import TyperGroup

__all__ = ["PlainGroup", "plain"]

_WORDS = (
    (r"Input should be greater than or equal to (?P<limit>\S+)", r"give \g<limit> or more."),
    (r"Input should be less than or equal to (?P<limit>\S+)", r"give \g<limit> or less."),
    (r"Input should be greater than (?P<limit>\S+)", r"give a number above \g<limit>."),
    (r"Input should be less than (?P<limit>\S+)", r"give a number below \g<limit>."),
    (r"Input should be a valid integer.*", "give a whole number."),
    (r"Input should be a valid number.*", "give a number."),
    (r"Input should be a finite number.*", "give a finite number."),
    (r"Value error, (?P<said>.*)", r"\g<said>"),
)


def plain(message: str) -> str:
    """Return what is wrong with the value of an option, in plain words.

    Examples
    --------
    >>> plain("Input should be greater than or equal to 0")
    'give 0 or more.'
    >>> plain("Value error, 'banana' is not one of 'least', 'interaction'.")
    "'banana' is not one of 'least', 'interaction'."
    """
    for pattern, words in _WORDS:
        if re.fullmatch(pattern, message, re.DOTALL):
            return re.sub(pattern, words, message, count=1, flags=re.DOTALL)
    return message


class PlainGroup(TyperGroup):
    """The commands, whose slips are told in plain words."""

    def invoke(self, ctx: Any) -> Any:
        """Run a command."""
        try:
            return super().invoke(ctx)
        except typer.BadParameter as error:
            error.message = plain(error.message)
            raise
