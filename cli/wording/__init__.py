"""All sentences of the sheets, one file a language. A new language is one more file and one line here."""

from __future__ import annotations

from cli.wording.english import ENGLISH
from cli.wording.german import GERMAN
from cli.wording.words import StabilityWords, Wording, WorkedWords

__all__ = ["ENGLISH", "LANGUAGES", "StabilityWords", "Wording", "WorkedWords", "words_of"]

LANGUAGES = {"en": ENGLISH, "de": GERMAN}
"""Wordings by their code, as BCP 47 has it."""


def words_of(language: str) -> Wording:
    """Return the wording of a language.

    Raises
    ------
    KeyError
        When there is none of that code.
    """
    return LANGUAGES[language]
