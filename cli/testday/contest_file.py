"""The rules of a class's contest (`NAME.contest.json`): its title, its limits, how long a step must hold."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from cli.errors import FaultsError
from cli.model.entry import Entry, NotNegative, Positive
from cli.model.json_schema import json_schema
from cli.model.parts import UnitsEntry
from cli.sheets.numerals import Numerals
from cli.testday.documents import load_document

__all__ = ["CONTEST_SUFFIX", "Contest", "LimitEntry", "LimitsEntry", "contest_path", "find_contest"]

CONTEST_SUFFIX = ".contest.json"
NUMERALS = Numerals(figures=3)


class LimitEntry(Entry):
    """At least, at most, or both."""

    least: NotNegative | None = None
    most: NotNegative | None = None

    @model_validator(mode="after")
    def _in_order(self) -> Self:
        """One of the two, and in order."""
        if self.least is None and self.most is None:
            raise ValueError('give "least", "most" or both')
        if self.least is not None and self.most is not None and self.least > self.most:
            raise ValueError(f'"least" ({self.least:g}) is above "most" ({self.most:g}): swap them')
        return self

    def words(self, unit: str) -> str:
        """Return `at least 300 mm, at most 320 mm`."""
        parts = [
            f"{word} {NUMERALS.given(end)} {unit}".strip()
            for word, end in (("at least", self.least), ("at most", self.most))
            if end is not None
        ]
        return ", ".join(parts)


class LimitsEntry(Entry):
    """What a bridge must keep to; what is left out is not looked at."""

    span: LimitEntry | None = Field(
        default=None, description="Between the outermost supports, length units, joint to joint."
    )
    height: LimitEntry | None = Field(
        default=None, description="Lowest joint to highest joint, length units."
    )
    width: LimitEntry | None = Field(default=None, description="As measured, length units.")
    mass: LimitEntry | None = Field(default=None, description="Grams.")
    pieces: LimitEntry | None = Field(default=None, description="Of stock in the whole bridge.")
    glue: LimitEntry | None = Field(default=None, description="Grams.")


class Contest(Entry):
    """The rules."""

    format: Literal["panelpoint contest"] = "panelpoint contest"
    version: Literal[1] = 1
    title: Annotated[str, Field(min_length=1)]
    units: UnitsEntry
    limits: LimitsEntry = LimitsEntry()
    hold: Positive | None = Field(default=None, description="Seconds for which a load must be held to count.")


def contest_path(folder: Path) -> Path | None:
    """Return the file with the rules of a folder, none where there is none.

    Raises
    ------
    FaultsError
        When there are several.
    """
    found = sorted(folder.glob(f"*{CONTEST_SUFFIX}"))
    if len(found) > 1:
        names = ", ".join(path.name for path in found)
        raise FaultsError((f"{folder} has the rules of several contests ({names}): leave one of them.",))
    return found[0] if found else None


def find_contest(folder: Path) -> Contest | None:
    """Read the rules that lie in a folder, none where there are none.

    Raises
    ------
    FaultsError
        When there are several.
    ModelFileError
        When they cannot be used.
    """
    path = contest_path(folder)
    return None if path is None else load_document(path, Contest, suffix=CONTEST_SUFFIX)


if __name__ == "__main__":
    print(json.dumps(json_schema(Contest), indent=2))
