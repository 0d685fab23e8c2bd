"""The rules of a class's contest (`NAME.contest.json`): its title, its limits, how long a step must hold."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from cli.errors import FaultsError
from cli.model_entry import Entry, NotNegative, Positive
from cli.model_file import UnitsEntry
from cli.testday.documents import document_schema, load_document

__all__ = ["CONTEST_SUFFIX", "Contest", "LimitEntry", "LimitsEntry", "find_contest"]

CONTEST_SUFFIX = ".contest.json"


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


def find_contest(folder: Path) -> Contest | None:
    """Read the rules that lie in a folder, none where there are none.

    Raises
    ------
    FaultsError
        When there are several.
    ModelFileError
        When they cannot be used.
    """
    found = sorted(folder.glob(f"*{CONTEST_SUFFIX}"))
    if len(found) > 1:
        names = ", ".join(path.name for path in found)
        raise FaultsError((f"{folder} has the rules of several contests ({names}): leave one of them.",))
    return load_document(found[0], Contest, suffix=CONTEST_SUFFIX) if found else None


if __name__ == "__main__":
    print(json.dumps(document_schema(Contest), indent=2))
