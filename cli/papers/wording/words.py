"""The words that a language has to give: one field a sentence, grouped by the sheet that says it.

`{name}` in a sentence is filled in by the sheet, with words, numbers or mathematics.
"""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["CommonWords", "Wording"]


@dataclass(frozen=True)
class CommonWords:
    """What every sheet may say."""

    tension: str
    compression: str
    zero: str
    unsure: str
    """What T, C, 0 and ? mean."""
    member: str
    joint: str
    force: str
    reaction: str
    load: str
    support: str
    pin: str
    roller: str
    caution_head: str
    cautions: tuple[str, ...]
    """What is assumed; what it is for; safety when testing: as `cli.cautions` has them."""


@dataclass(frozen=True)
class Wording:
    """Everything that sheets say in one language."""

    language: str
    """As BCP 47 has it."""
    decimal: str
    """Decimal sign."""
    page: str
    """At the foot of a page: `{page}` of `{pages}`."""
    common: CommonWords
